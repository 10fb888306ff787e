// What this room thinks: the middle of its weights with their spread, and which offtakes turn on opinion.
import { decimals } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import type { Meeting, Now, Spread } from "./told.ts";
import { heading, MOST_ROWS, table } from "./wall_parts.ts";

/** Rows that find room beside the map, of both figures together. */
const MOST_BOTH = 9;

export function roomSide({ criteria, least_tried }: Meeting, { room, tried }: Now): HTMLElement[] {
  if (!room) {
    return [heading("Your weights"), element("p", { class: "side-note" }, [`Shown when ${least_tried} weightings have been tried, so that nobody’s own can be read off. So far: ${tried}.`])];
  }
  const turns = room.turns.slice(0, Math.max(2, Math.min(MOST_ROWS, MOST_BOTH - room.weights.length)));
  const more = room.turns_count - turns.length;
  const label = (name: string): string => criteria.find((each) => each.name === name)?.label ?? name;
  const rows = turns.map(({ code, count, on, more: gives }) => [code, `${count} of ${tried}`, on ? weightOn(gives, insideASentence(label(on))) : "no one criterion"]);
  return [
    heading("Weights tried here"),
    element("div", { class: "spreads" }, room.weights.map(spreadRow)),
    ...(turns.length ? [heading(more > 0 ? `${room.turns_count} turn on opinion` : "Turn on opinion"), table("Offtakes that turn on opinion", ["Offtake", "inside", "who give more ↑ less ↓"], rows, turns.map(({ code }) => code))] : [element("p", { class: "side-note" }, ["No offtake turns on opinion."])]),
  ];
}

function weightOn(more: boolean, label: string): HTMLElement {
  return element("span", {}, [element("span", { "aria-hidden": "true" }, [more ? "↑ " : "↓ "]), element("span", { class: "unseen" }, [more ? "more on " : "less on "]), label]);
}

/** "Low cost" is "low cost" there, "pH" and what else begins otherwise stays. */
function insideASentence(label: string): string {
  return /^[A-Z][a-z ]/.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label;
}

/** A line from nothing to all, the middle half of what was tried as a bar on it, a mark at the middle. */
function spreadRow({ label, low, middle, high }: Spread): HTMLElement {
  const line = element("span", { class: "spread", "aria-hidden": "true" }, [element("span", { class: "spread-bar" }), element("span", { class: "spread-mark" })]);
  for (const [name, value] of Object.entries({ low, middle, high })) line.style.setProperty(`--${name}`, String(value));
  const figure = (share: number): string => decimals(100 * share, 0);
  return element("p", { class: "spread-row" }, [
    element("span", { class: "spread-label" }, [label]),
    line,
    element("b", {}, [figure(middle)]),
    element("span", { class: "unseen" }, [` of 100; half of them between ${figure(low)} and ${figure(high)}`]),
  ]);
}
