// The meeting as it goes on: what is on the wall, whether it is held, what was agreed.
import { element } from "../parts/element.ts";
import { agreedWords, wallWords } from "./phone_words.ts";
import type { Meeting, Now } from "./wire.ts";
import { phonesWords, triedWords } from "./words.ts";

export interface WallPart {
  readonly element: HTMLElement;
  readonly show: (now: Now) => void;
  /** The meeting is over: what was agreed alone stands. */
  readonly end: () => void;
}

export function makeWall(meeting: Meeting): WallPart {
  const [title, sentence, counts] = [element("summary", {}), element("p", {}), element("p", { class: "soft" })];
  const shown = element("details", { class: "wall-shown" }, [title, sentence, counts]);
  const agreed = element("div", { class: "agreed" });
  const spoken = element("p", { class: "unseen", role: "status" });
  const made = element("section", { class: "wall-part", "aria-label": "The meeting", hidden: "" }, [shown, agreed, spoken]);
  let saidAgreed = "";

  function say(node: HTMLElement, words: string): void {
    if (node.textContent !== words) node.textContent = words;
  }

  function showAgreed(now: Now): void {
    const [what, words] = [agreedWords(now), now.agreed?.words ?? ""];
    if (what + words !== saidAgreed) agreed.replaceChildren(...(what ? [element("p", { class: "agreed-what" }, [what]), element("p", {}, [words])] : []));
    saidAgreed = what + words;
  }

  return {
    element: made,
    show: (now) => {
      made.hidden = false;
      made.classList.toggle("held", now.held);
      say(title, wallWords(meeting, now));
      say(sentence, now.sentence);
      say(counts, `${phonesWords(now.phones)}, ${triedWords(now.tried)}`);
      showAgreed(now);
      say(spoken, `${wallWords(meeting, now)}. ${agreedWords(now)}`);
    },
    end: () => {
      shown.remove();
      spoken.remove();
      made.hidden = saidAgreed === "";
    },
  };
}
