// Which offtakes leave in a trial, and which join: those that take most of the loss are named.
import { percent } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import type { Offtake, Trial } from "./told.ts";
import { table } from "./wall_parts.ts";

/** So many of each are named. */
const MOST_NAMED = 3;

export function movers(offtakes: readonly Offtake[], { joins, leaves }: Trial): HTMLElement {
  return element("div", { class: "movers" }, [column("leave", offtakes, leaves), column("join", offtakes, joins)]);
}

function column(verb: string, offtakes: readonly Offtake[], moved: readonly string[]): HTMLElement {
  const codes = new Set(moved);
  const named = offtakes.filter(({ code }) => codes.has(code)).sort((a, b) => b.loss_share - a.loss_share).slice(0, MOST_NAMED);
  const count = moved.length === 1 ? `1 ${verb}s` : moved.length ? `${moved.length} ${verb}` : `none ${verb}s`;
  return table(`Offtakes that ${verb} and take most of the loss`, [count, ...(named.length ? ["of loss"] : [])], named.map(({ code, loss_share }) => [code, percent(loss_share)]), named.map(({ code }) => code));
}
