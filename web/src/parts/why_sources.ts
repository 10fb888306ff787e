// Every input of one offtake: value, unit, where it comes from, when, and how it came about.
import { type FlowText, inputLines, inputsSentence, type InputLine, notGiven, restLines } from "../core/why_inputs.ts";
import type { Input, RestsOn } from "../wire/why.ts";
import { element } from "./element.ts";
import { GUIDE, whyBlock } from "./why_block.ts";

export function sourcesBlock(inputs: readonly Input[], further: readonly RestsOn[], currency: string, flow: FlowText): HTMLElement {
  const lines = inputLines(inputs, currency, flow);
  const list = element("ul", { class: "why-inputs" }, lines.map(oneInput));
  const missing = notGiven(inputs);
  const rest = missing.length ? [element("p", { class: "why-note" }, [`Not given: ${missing.join(", ")}.`])] : [];
  return whyBlock("sources", "What it rests on", "each column is meant and measured", GUIDE.data, [
    element("p", {}, [lines.length ? inputsSentence(lines) : "No input of this offtake may be shown here."]),
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
      element("ul", { class: "why-inputs" }, lines.map(oneInput)),
      ...source,
    ]);
  });
  return [element("details", { class: "why-details" }, [element("summary", {}, ["river, fish, screen and prices behind it"]), ...rows])];
}

function oneInput({ term, value, basis, defaultUsed, origin }: InputLine): HTMLElement {
  return element("li", {}, [
    element("span", { class: "why-input-term" }, [term]),
    element("span", { class: "why-input-value" }, [value]),
    element("span", { class: "why-input-origin" }, [
      ...(basis ? [element("span", { class: `why-basis why-basis-${basis.split(" ")[0]}` }, [basis])] : []),
      ...(defaultUsed ? [element("span", { class: "why-basis why-default" }, ["default used"])] : []),
      origin,
    ]),
  ]);
}
