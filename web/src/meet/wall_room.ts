// What this room thinks: the middle of its weights with their spread, and which offtakes turn on opinion.
import { decimals } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import type { Meeting, Now, RoomFigures, Spread } from "./told.ts";
import { heading, MOST_ROWS, table } from "./wall_parts.ts";

const BARS = "Bar: where at least half of the weightings lie; mark: the middle.";
const UNNAMED = "An offtake is named here where three phones or more stand on either side.";

export function roomSide({ criteria, least_tried }: Meeting, { room, tried }: Now): HTMLElement[] {
  if (!room) {
    return [heading("Your weights"), element("p", { class: "side-note" }, [`Shown when ${least_tried} weightings have been tried, so that nobody’s own can be read off. So far: ${tried}.`])];
  }
  return [
    heading("Weights tried here, of 100"),
    element("div", { class: "spreads" }, room.weights.map(spreadRow)),
    element("p", { class: "side-note" }, [BARS]),
    ...turnsPart(criteria, room, tried),
  ];
}

function turnsPart(criteria: Meeting["criteria"], { turns, turns_count: count, few }: RoomFigures, tried: number): HTMLElement[] {
  const note = (words: string): HTMLElement => element("p", { class: "side-note" }, [words]);
  if (!turns.length) return few ? [heading(`${few} inside for some, outside for others`), note(UNNAMED)] : [note("All weightings tried here fund the same offtakes.")];
  const label = (name: string): string => criteria.find((each) => each.name === name)?.label ?? name;
  const shown = turns.slice(0, MOST_ROWS);
  const rows = shown.map(({ code, count: inside, on, more }) => [code, `${inside} of ${tried}`, on ? weightOn(more, insideASentence(label(on))) : "no one criterion"]);
  return [
    heading(`${count} inside for some, outside for others`),
    table("Offtakes that turn on opinion", ["Offtake", "inside", "with more ↑ less ↓ on"], rows, shown.map(({ code }) => code)),
    ...(few ? [note(`${few} more ${few === 1 ? "turns" : "turn"} on one or two phones.`)] : []),
  ];
}

function weightOn(more: boolean, label: string): HTMLElement {
  return element("span", {}, [element("span", { "aria-hidden": "true" }, [more ? "↑ " : "↓ "]), element("span", { class: "unseen" }, [more ? "more on " : "less on "]), label]);
}

/** "Low cost" is "low cost" there, "pH" and what else begins otherwise stays. */
function insideASentence(label: string): string {
  return /^[A-Z][a-z ]/.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label;
}

/** A line from nothing to all, a bar where at least half of what was tried lies, a mark at the middle. */
function spreadRow({ label, low, middle, high }: Spread): HTMLElement {
  const line = element("span", { class: "spread", "aria-hidden": "true" }, [element("span", { class: "spread-bar" }), element("span", { class: "spread-mark" })]);
  for (const [name, value] of Object.entries({ low, middle, high })) line.style.setProperty(`--${name}`, String(value));
  const figure = (share: number): string => decimals(100 * share, 0);
  return element("p", { class: "spread-row" }, [
    element("span", { class: "spread-label" }, [label]),
    line,
    element("b", {}, [figure(middle)]),
    element("span", { class: "unseen" }, [` of 100; at least half lie within ${figure(low)} and ${figure(high)}`]),
  ]);
}
