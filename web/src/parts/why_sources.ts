// Every input of one offtake: value, unit, where it comes from, when, and how it came about.
import { type FlowText, inputLines, inputsSentence, type InputLine, notGiven, restLines } from "../core/why_inputs.ts";
import type { Input, RestsOn } from "../wire/why.ts";
import { element } from "./element.ts";
import { GUIDE, whyBlock } from "./why_block.ts";

/** Opens the form of a column; null where nothing may be changed. */
export type Correct = ((column: string) => void) | null;

export function sourcesBlock(inputs: readonly Input[], further: readonly RestsOn[], currency: string, flow: FlowText, correct: Correct): HTMLElement {
  const lines = inputLines(inputs, currency, flow);
  const list = element("ul", { class: "why-inputs" }, lines.map((line) => oneInput(line, correct)));
  const missing = notGiven(inputs);
  const rest = missing.length ? [element("p", { class: "why-note" }, [`Not given: ${missing.join(", ")}.`])] : [];
  return whyBlock("sources", "What it rests on", "each column is meant and measured", GUIDE.data, [
    element("p", {}, [
      lines.length ? inputsSentence(lines) : "No input of this offtake may be shown here.",
      ...(correct ? [" ", button("Correct or fill in", "", () => correct(""))] : []),
    ]),
    ...(lines.length
      ? [element("details", { class: "why-details" }, [element("summary", {}, ["every input"]), list, ...rest])]
      : []),
    ...furtherRows(further, currency, flow),
  ]);
}

/** Reach, gauge, fish, screen and prices: what the offtake's own row does not say. */
function furtherRows(further: readonly RestsOn[], currency: string, flow: FlowText): HTMLElement[] {
  if (!further.length) return [];
  const rows = further.map((rest) => {
    const { title, lines } = restLines(rest, currency, flow);
    const source = rest.source ? [element("p", { class: "why-note" }, [`Source: ${rest.source}`])] : [];
    return element("details", { class: "why-details" }, [
      element("summary", {}, [title]),
      element("ul", { class: "why-inputs" }, lines.map((line) => oneInput(line, null))),
      ...source,
    ]);
  });
  return [element("details", { class: "why-details" }, [element("summary", {}, ["river, fish, screen and prices behind it"]), ...rows])];
}

function button(words: string, about: string, act: () => void): HTMLElement {
  const made = element("button", { type: "button", class: "quiet why-correct" }, [words, element("span", { class: "unseen" }, [about])]);
  made.addEventListener("click", act);
  return made;
}

function oneInput({ column, term, value, basis, defaultUsed, origin }: InputLine, correct: Correct): HTMLElement {
  return element("li", {}, [
    element("span", { class: "why-input-term" }, [term]),
    element("span", { class: "why-input-value" }, [value]),
    element("span", { class: "why-input-origin" }, [
      ...(basis ? [element("span", { class: `why-basis why-basis-${basis.split(" ")[0]}` }, [basis])] : []),
      ...(defaultUsed ? [element("span", { class: "why-basis why-default" }, ["default used"])] : []),
      origin,
      ...(correct ? [button("Correct", ` ${term}`, () => correct(column))] : []),
    ]),
  ]);
}
