// What this tab keeps of a meeting for its facilitator, besides the key: words not yet sent, and that it was
// closed. It is gone with the tab.
import type { Closed, Texts } from "./lead_desk.ts";
import type { Lead } from "./told.ts";

/** Words not sent yet, and those they started from. */
export interface Draft extends Texts {
  readonly base: Texts;
}

export const keepDraft = (code: string, draft: Draft | null): void => keep(code, "words", draft);
export const draftKept = (code: string): Draft | null => read<Draft>(code, "words");
export const keepClosed = (code: string, closed: ClosedHere): void => keep(code, "closed", closed);
export const closedKept = (code: string): ClosedHere | null => read<ClosedHere>(code, "closed");

/** What closing told this tab, and what had been agreed. */
export interface ClosedHere extends Closed {
  readonly what: Lead["agreed"]["what"];
}

const nameOf = (code: string, what: string): string => `slackwater meeting ${code} ${what}`;

function keep(code: string, what: string, value: unknown): void {
  try {
    if (value === null) sessionStorage.removeItem(nameOf(code, what));
    else sessionStorage.setItem(nameOf(code, what), JSON.stringify(value));
  } catch {
    // a browser that keeps nothing: it holds until the page is left
  }
}

function read<Value>(code: string, what: string): Value | null {
  try {
    return JSON.parse(sessionStorage.getItem(nameOf(code, what)) ?? "null") as Value | null;
  } catch {
    return null;
  }
}
