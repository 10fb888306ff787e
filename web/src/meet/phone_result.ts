// What a phone's weights come to, in a sentence, and whether the net holds: in sight while sliders move, and
// told to those who listen once it rests. It stands at the foot, two lines high on the narrowest phone, so nothing
// moves under a finger; where there is more to tell, the sentence makes room.
import { element } from "../parts/element.ts";

export interface ResultPart {
  readonly element: HTMLElement;
  /** The sentence, and its figure alone: "56 offtakes". */
  readonly show: (words: string, figure: string) => void;
  /** Why the sentence is of before; "" where it is of now. */
  readonly age: (why: string) => void;
  /** What became of the net, or of joining; "" where all is well. */
  readonly trouble: (words: string) => void;
}

/** So long must it rest before it is said aloud. */
const RESTED_MS = 700;
/** An answer that comes sooner was not waited for. */
const WAITED_MS = 500;

export function makeResult(): ResultPart {
  const words = element("span", { class: "result-words" });
  const why = element("span", { class: "result-state" });
  const trouble = element("span", { class: "result-state", role: "status" });
  const spoken = element("p", { class: "unseen", role: "status" });
  const made = element("div", { class: "result" }, [element("p", { class: "result-lines" }, [words, " ", why, " ", trouble]), spoken]);
  let [sentence, figure, resting, waiting] = ["", "", 0, 0];

  function draw(): void {
    const isAlone = !why.textContent && !trouble.textContent;
    why.hidden = trouble.textContent !== ""; // two lines hold no more
    say(words, isAlone ? sentence : `${figure}${made.classList.contains("stale") ? " before your last move" : ""}.`);
  }

  return {
    element: made,
    show: (said, short) => {
      [sentence, figure] = [said, short];
      draw();
      clearTimeout(resting);
      resting = window.setTimeout(() => (spoken.textContent = made.classList.contains("stale") ? "" : said), RESTED_MS);
    },
    age: (said) => {
      made.classList.toggle("stale", said !== "");
      clearTimeout(waiting);
      const tell = (): void => {
        say(why, said);
        draw();
      };
      if (said === "" || why.textContent) tell();
      else waiting = window.setTimeout(tell, WAITED_MS);
    },
    trouble: (said) => {
      say(trouble, said);
      draw();
    },
  };
}

function say(node: HTMLElement, words: string): void {
  if (node.textContent !== words) node.textContent = words;
}
