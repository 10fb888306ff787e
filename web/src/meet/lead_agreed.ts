// What was agreed and what was left open, in words for the minutes. What is typed is kept in this tab at every
// letter, and sent when the button is pressed, or on closing.
import { wordsOf } from "../parts/form_field.ts";
import { element } from "../parts/element.ts";
import type { Agreed, LeadDesk } from "./lead_desk.ts";
import { draftKept, keepDraft } from "./lead_kept.ts";
import { button, type LeadPart, say, section } from "./lead_parts.ts";
import { isSame } from "./lead_words.ts";
import type { Lead } from "./told.ts";

const MOST_LETTERS = 600;
const NOTHING: Agreed = { what: "", words: "", left_open: "" };
const CHOICES: readonly (readonly [Agreed["what"], string])[] = [
  ["", "Nothing yet"],
  ["case", "The case as it stands"],
  ["trial", "The trial that is shown"],
];

export interface AgreedPart extends LeadPart {
  /** What stands in the form. */
  readonly typed: () => Agreed;
  /** Sends it where it is not sent yet. */
  readonly send: () => Promise<void>;
}

export function agreedPart(code: string, desk: LeadDesk): AgreedPart {
  const radios = CHOICES.map(([value, words]) => radio(value, words));
  const words = area("lead-agreed-words", "Words for the minutes");
  const open = area("lead-agreed-open", "Left open");
  const go = button("Keep for the minutes", "lead-main", () => void sendAndSay());
  const told = element("p", { class: "lead-told", role: "status" });
  const wrong = element("p", { class: "lead-wrong", role: "alert" });
  const form = element("div", { class: "lead-form" }, [
    element("fieldset", { class: "lead-choices" }, [element("legend", {}, ["The hall agrees on"]), ...radios.map(({ element: each }) => each)]),
    words.element, open.element,
    element("div", { class: "lead-go" }, [go, told]),
    wrong,
  ]);
  const part = section("agreed", "Agreed", [element("p", { class: "lead-soft" }, ["For everyone to read: no names, no gates, nobody’s own volumes."]), form]);
  let sent = NOTHING;
  const draft = draftKept(code);
  if (draft) put(draft);

  function typed(): Agreed {
    const what = radios.find(({ input }) => input.checked)?.value ?? "";
    return { what, words: words.input.value, left_open: open.input.value };
  }

  function put({ what, words: said, left_open: left }: Agreed): void {
    for (const { input, value } of radios) input.checked = value === what;
    [words.input.value, open.input.value] = [said, left];
  }

  function changed(): void {
    const now = typed();
    keepDraft(code, isSame(now, sent) ? null : now);
    wrong.textContent = "";
    showSent();
  }

  function showSent(): void {
    const isSent = isSame(typed(), sent);
    say(told, !isSent ? "Not kept yet; this tab remembers it." : isSame(sent, NOTHING) ? "" : "Kept for the minutes.");
    go.classList.toggle("is-due", !isSent);
  }

  async function send(): Promise<void> {
    const now = typed();
    if (isSame(now, sent)) return;
    await desk.agree(now);
    changed();
  }

  async function sendAndSay(): Promise<void> {
    wrong.textContent = "";
    await send().catch((error: unknown) => (wrong.textContent = wordsOf(error, "It could not be kept.")));
  }

  function show(lead: Lead): void {
    const before = sent;
    sent = { ...NOTHING, ...lead.agreed };
    // What stands there follows the meeting until somebody types; then it is theirs.
    if (isSame(typed(), before) && !isSame(before, sent)) put(sent);
    for (const { input, value } of radios) if (value === "trial") input.disabled = lead.trial === null && sent.what !== "trial" && !input.checked;
    showSent();
  }

  form.addEventListener("input", changed);
  return { element: part, show, typed, send };
}

function radio(value: Agreed["what"], words: string): { readonly value: Agreed["what"]; readonly input: HTMLInputElement; readonly element: HTMLElement } {
  const input = element("input", { type: "radio", name: "agreed", value: value || "nothing", ...(value === "" ? { checked: "" } : {}) });
  return { value, input, element: element("label", { class: "lead-choice" }, [input, words]) };
}

function area(id: string, label: string): { readonly input: HTMLTextAreaElement; readonly element: HTMLElement } {
  const input = element("textarea", { id, rows: 3, maxlength: MOST_LETTERS });
  return { input, element: element("div", { class: "lead-field" }, [element("label", { for: id }, [label]), input]) };
}
