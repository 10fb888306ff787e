// What was agreed, and the words for it: two things that are kept apart, so that mending a word never changes
// what was agreed.
import { element } from "../parts/element.ts";
import { choicePart } from "./lead_choice.ts";
import type { LeadDesk } from "./lead_desk.ts";
import { type LeadPart, section } from "./lead_parts.ts";
import { textsPart, type TextsPart } from "./lead_texts.ts";
import type { Meeting } from "./told.ts";

export interface AgreedPart extends LeadPart, Pick<TextsPart, "typed" | "send"> {
  /** Chosen and not agreed yet, in words. */
  readonly pending: () => string;
}

export function agreedPart(meeting: Meeting, desk: LeadDesk): AgreedPart {
  const choice = choicePart(meeting, desk);
  const texts = textsPart(meeting, desk);
  const soft = element("p", { class: "lead-soft" }, ["For everyone to read: no names, no gates, nobody’s own volumes."]);
  return {
    element: section("agreed", "Agreed", [choice.element, soft, texts.element]),
    show: (lead) => [choice, texts].forEach((part) => part.show(lead)),
    typed: texts.typed,
    send: texts.send,
    pending: choice.pending,
  };
}
