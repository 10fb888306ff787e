// Words for the minutes and what was left open. What is typed is kept in this tab at every letter, and sent when
// the button is pressed, or on closing. Where another page kept other words meanwhile, both are shown; neither
// is lost.
import { element } from "../parts/element.ts";
import { wordsOf } from "../parts/form_field.ts";
import { type Area, letterArea } from "./lead_area.ts";
import type { LeadDesk, Texts } from "./lead_desk.ts";
import { draftKept, keepDraft } from "./lead_kept.ts";
import { button, type LeadPart, say } from "./lead_parts.ts";
import { isSame } from "./lead_words.ts";
import type { Lead, Meeting } from "./told.ts";

const NOTHING: Texts = { words: "", left_open: "" };
const BOTH = "Another page has kept other words meanwhile. Yours are below, and not kept.";

export interface TextsPart extends LeadPart {
  readonly typed: () => Texts;
  /** Sends them where they are not sent yet. */
  readonly send: () => Promise<void>;
}

export function textsPart(meeting: Meeting, desk: LeadDesk): TextsPart {
  const words = letterArea("lead-agreed-words", "Words for the minutes", "The wall shows as much as has room.", meeting, changed);
  const open = letterArea("lead-agreed-open", "Left open", "In the minutes, not on the wall.", meeting, changed);
  const go = button("Keep for the minutes", "lead-main", () => void sendAndSay());
  const told = element("p", { class: "lead-told", role: "status" });
  const wrong = element("p", { class: "lead-wrong", role: "alert" });
  const others = otherWords(() => void keepMine(), takeTheirs);
  /** What stands in the meeting, and what the words typed here started from. */
  let [theirs, base] = [NOTHING, NOTHING];
  const draft = draftKept(meeting.code);
  if (draft) {
    base = draft.base;
    put(draft);
  }

  function typed(): Texts {
    return { words: words.input.value, left_open: open.input.value };
  }

  function put(next: Texts): void {
    for (const [area, text] of [[words, next.words], [open, next.left_open]] as readonly (readonly [Area, string])[]) area.put(text);
  }

  function changed(): void {
    const now = typed();
    keepDraft(meeting.code, isSame(now, theirs) ? null : { ...now, base });
    wrong.textContent = "";
    tell();
  }

  const isApart = (): boolean => !isSame(theirs, base) && !isSame(typed(), theirs);

  function tell(): void {
    const isSent = isSame(typed(), theirs);
    say(told, !isSent ? "Not kept yet; this tab remembers it." : isSame(theirs, NOTHING) ? "" : "Kept for the minutes.");
    go.classList.toggle("is-due", !isSent);
    others.show(isApart() ? theirs : null);
  }

  /** A choice made elsewhere meanwhile is no reason to stop: words alone are sent. */
  async function send(): Promise<void> {
    const now = typed();
    if (isSame(now, theirs)) return;
    if (isApart()) throw new Error("Say first which words stand: yours or the others.");
    await desk.agree({ what: "same", ...now, seen: desk.now()?.agreed.revision ?? 0 });
    changed();
  }

  async function sendAndSay(): Promise<void> {
    wrong.textContent = "";
    await send().catch((error: unknown) => (wrong.textContent = wordsOf(error, "It could not be kept.")));
  }

  async function keepMine(): Promise<void> {
    base = theirs;
    await sendAndSay();
    words.input.focus();
  }

  function takeTheirs(): void {
    base = theirs;
    put(theirs);
    changed();
    words.input.focus();
  }

  function show({ agreed }: Lead): void {
    theirs = { words: agreed.words, left_open: agreed.left_open };
    // What stands here follows the meeting until somebody types; then it is theirs.
    if (isSame(typed(), base) && !isSame(base, theirs)) put(theirs);
    if (isSame(typed(), theirs)) base = theirs;
    tell();
  }

  return { element: element("div", { class: "lead-form" }, [others.element, words.element, open.element, element("div", { class: "lead-go" }, [go, told]), wrong]), show, typed, send };
}

/** The words of another page, with what may be done. */
function otherWords(mine: () => void, take: () => void): { readonly element: HTMLElement; readonly show: (theirs: Texts | null) => void } {
  const [words, open] = [element("p", { class: "lead-theirs" }), element("p", { class: "lead-theirs" })];
  const said = element("p", { role: "alert" });
  const acts = element("div", { class: "lead-go" }, [button("Keep mine instead", "", mine), button("Take those", "", take)]);
  const made = element("div", { class: "lead-others", hidden: "" }, [said, words, open, acts]);
  return {
    element: made,
    show: (theirs) => {
      made.hidden = theirs === null;
      say(said, theirs ? BOTH : "");
      say(words, theirs ? `Words for the minutes, kept there: ${theirs.words || "none"}` : "");
      say(open, theirs ? `Left open, kept there: ${theirs.left_open || "nothing"}` : "");
    },
  };
}
