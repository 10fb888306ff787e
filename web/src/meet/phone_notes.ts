// What became of this phone: dropped, kept out, refused, over; and what can be done about it.
import { element } from "../parts/element.ts";
import type { Standing } from "./phone_sending.ts";
import { STANDING_WORDS } from "./phone_words.ts";

export interface NotesPart {
  readonly element: HTMLElement;
  readonly stands: (standing: Standing) => void;
  readonly refused: (words: string) => void;
  readonly over: (code: string, minutes: boolean) => void;
}

const ASKS: Partial<Readonly<Record<Standing, string>>> = { dropped: "Join again", full: "Try to join again", door_closed: "Try to join again" };

export function makeNotes(joinAgain: () => void): NotesPart {
  const [standing, refusal] = [line("standing"), line("refusal")];
  const asked = element("button", { type: "button", class: "button main", hidden: "" });
  asked.addEventListener("click", joinAgain);
  const ended = element("div", { class: "over" });
  const made = element("div", { class: "notes" }, [element("div", { role: "status", class: "notes-lines" }, [standing, refusal]), asked, ended]);
  return {
    element: made,
    stands: (next) => {
      const act = ASKS[next];
      tell(standing, act ? STANDING_WORDS[next] : "");
      if (asked.contains(document.activeElement) && !act) made.closest("main")?.focus(); // the button pressed goes
      asked.hidden = !act;
      asked.textContent = act ?? "";
    },
    refused: (words) => tell(refusal, words),
    over: (code, minutes) => {
      tell(refusal, "");
      ended.replaceChildren(
        element("p", { class: "over-words", role: "status" }, [STANDING_WORDS.over]),
        minutesPart(code, minutes),
        element("p", { class: "soft" }, ["What you set is no longer kept on this phone."]),
      );
    },
  };
}

/** Where to read what came of it. */
export function minutesPart(code: string, minutes: boolean): HTMLElement {
  if (!minutes) return element("p", {}, ["No minutes of it are kept here."]);
  return element("a", { class: "button main", href: `/meet/${encodeURIComponent(code)}/minutes` }, ["Read the minutes"]);
}

function line(kind: string): HTMLElement {
  return element("p", { class: `line line-${kind}`, hidden: "" });
}

function tell(made: HTMLElement, words: string): void {
  if (made.textContent !== words) made.textContent = words;
  made.hidden = words === "";
}
