// What a phone's weights come to, in a sentence, and whether the net holds: in sight while sliders move, and
// told to those who listen once it rests. It stands at the foot, so nothing moves under a finger when it grows.
import { element } from "../parts/element.ts";

export interface ResultPart {
  readonly element: HTMLElement;
  readonly show: (words: string) => void;
  /** Why the sentence is of before; "" where it is of now. */
  readonly age: (why: string) => void;
  /** What became of the net, or of joining; "" where all is well. */
  readonly trouble: (words: string) => void;
}

/** So long must it rest before it is said aloud. */
const RESTED_MS = 700;

export function makeResult(): ResultPart {
  const words = element("p", { class: "result-words" });
  const why = element("p", { class: "result-state" });
  const trouble = element("p", { class: "result-state", role: "status" });
  const spoken = element("p", { class: "unseen", role: "status" });
  const made = element("div", { class: "result" }, [words, why, trouble, spoken]);
  let timer = 0;
  return {
    element: made,
    show: (said) => {
      words.textContent = said;
      clearTimeout(timer);
      timer = window.setTimeout(() => (spoken.textContent = made.classList.contains("stale") ? "" : said), RESTED_MS);
    },
    age: (said) => {
      made.classList.toggle("stale", said !== "");
      if (why.textContent !== said) why.textContent = said;
    },
    trouble: (said) => {
      if (trouble.textContent !== said) trouble.textContent = said;
    },
  };
}
