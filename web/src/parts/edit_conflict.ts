// Somebody else was first: at each field both values, who and when, and a choice between them.
import { moment } from "../core/numbers.ts";
import type { Conflict } from "../wire/edits.ts";
import { element } from "./element.ts";

export interface ConflictSaid {
  readonly conflict: Conflict;
  readonly seen: string;
  readonly now: string;
  readonly mine: string;
}

export type Choice = "theirs" | "mine";

/** Two buttons; `decide` hears the choice, which is then said in their place. */
export function conflictBox({ conflict, seen, now, mine }: ConflictSaid, decide: (choice: Choice) => void): HTMLElement {
  const words = element("p", {}, [
    `You saw ${seen}. It is `, element("strong", {}, [now]), ` now${whoWhen(conflict)}.`,
  ]);
  const theirs = element("button", { type: "button", class: "strip-button" }, ["Keep theirs"]);
  const put = element("button", { type: "button", class: "strip-button" }, [`Put mine: ${mine}`]);
  const buttons = element("div", { class: "edit-buttons" }, [theirs, put]);
  const box = element("div", { class: "edit-conflict", role: "group", "aria-label": "Changed by somebody else" }, [words, buttons]);
  const choose = (choice: Choice): void => {
    buttons.remove();
    box.append(element("p", { role: "status" }, [choice === "theirs" ? "Theirs is kept." : `Mine is put: ${mine}.`]));
    decide(choice);
  };
  theirs.addEventListener("click", () => choose("theirs"));
  put.addEventListener("click", () => choose("mine"));
  return box;
}

export function whoWhen({ by, at }: Pick<Conflict, "by" | "at">): string {
  const told = [by, at ? moment(at) : ""].filter(Boolean);
  return told.length ? ` (${told.join(", ")})` : "";
}
