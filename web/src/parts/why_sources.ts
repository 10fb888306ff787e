// Every input of one offtake: value, unit, where it comes from, when, and how it came about.
import { type FlowText, inputLines, inputsSentence, type InputLine, notGiven } from "../core/why_inputs.ts";
import type { Input } from "../wire/why.ts";
import { element } from "./element.ts";
import { GUIDE, whyBlock } from "./why_block.ts";

export function sourcesBlock(inputs: readonly Input[], currency: string, flow: FlowText): HTMLElement {
  const lines = inputLines(inputs, currency, flow);
  const list = element("ul", { class: "why-inputs" }, lines.map(oneInput));
  const missing = notGiven(inputs);
  const rest = missing.length ? [element("p", { class: "why-note" }, [`Not given: ${missing.join(", ")}.`])] : [];
  return whyBlock("sources", "What it rests on", "each column is meant and measured", GUIDE.data, [
    element("p", {}, [lines.length ? inputsSentence(lines) : "No input of this offtake may be shown here."]),
    ...(lines.length
      ? [element("details", { class: "why-details" }, [element("summary", {}, ["every input"]), list, ...rest])]
      : []),
  ]);
}

function oneInput({ term, value, basis, defaultUsed, origin }: InputLine): HTMLElement {
  return element("li", {}, [
    element("span", { class: "why-input-term" }, [term]),
    element("span", { class: "why-input-value" }, [value]),
    element("span", { class: "why-input-origin" }, [
      element("span", { class: `why-basis why-basis-${basis.split(" ")[0]}` }, [basis]),
      ...(defaultUsed ? [element("span", { class: "why-basis why-default" }, ["default used"])] : []),
      origin,
    ]),
  ]);
}
