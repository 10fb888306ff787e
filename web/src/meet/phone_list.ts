// What is inside: under this phone's weights alone, in the agency's list alone, under both; in that order, since
// what a phone's weights change is what its holder looks for. Each offtake has its why.
import { element } from "../parts/element.ts";
import { type Row, makeRow } from "./phone_rows.ts";
import { LISTED, type Sets, type Stand, standOf, standWords } from "./phone_stands.ts";
import { sharesWords } from "./phone_words.ts";
import type { Meeting, Offtake } from "./wire.ts";

export interface ListPart {
  readonly element: HTMLElement;
  readonly show: (sets: Sets) => void;
}

/** So many stand there at first: the rest of the page stays in reach of a thumb. */
const FIRST = 5;

export function makeList({ offtakes, currency }: Meeting): ListPart {
  const rows = new Map<string, Row>();
  const rowOf = (site: Offtake): Row => {
    const made = rows.get(site.code) ?? makeRow(site, "list", currency);
    rows.set(site.code, made);
    return made;
  };
  const groups = LISTED.map((stand) => makeGroupOf(stand, rowOf));
  const said = `Numbered by the agency’s rank. Ranks missing here are outside, built, or not in this round.${currency ? ` What the fund pays is in ${currency}.` : ""}`;
  return {
    element: element("section", { class: "list-part", "aria-labelledby": "list-title" }, [element("h2", { id: "list-title" }, ["Inside the budget"]), element("p", { class: "soft" }, [said]), ...groups.map((each) => each.element)]),
    show: (sets) => {
      const isAsked = sets.isOwn || sets.way !== "By score"; // else both lists are one
      for (const { stand, show, element: made } of groups) {
        made.hidden = !isAsked && stand !== "both";
        show(offtakes.filter((each) => standOf(each, sets) === stand), sets);
      }
    },
  };
}

interface Group {
  readonly stand: Stand;
  readonly element: HTMLElement;
  readonly show: (sites: readonly Offtake[], sets: Sets) => void;
}

function makeGroupOf(stand: (typeof LISTED)[number], rowOf: (site: Offtake) => Row): Group {
  const title = element("h3", { id: `list-${stand}` });
  const sums = element("p", { class: "soft" });
  const list = element("ol", { class: "sites", "aria-labelledby": title.id });
  const more = element("button", { type: "button", class: "button" });
  let [all, sites, sets] = [false, [] as readonly Offtake[], null as Sets | null];

  function draw(): void {
    if (!sets) return;
    const next = (all ? sites : sites.slice(0, FIRST)).map((site) => rowOf(site));
    for (const row of next) row.show(sets);
    const stands = next.length === list.children.length && next.every((each, i) => each.element === list.children[i]);
    if (!stands) list.replaceChildren(...next.map((each) => each.element)); // else the focus would be lost for nothing
    title.textContent = `${standWords(stand, sets)}: ${sites.length || "none"}`;
    sums.textContent = sharesWords(sites);
    [sums.hidden, list.hidden, more.hidden] = [!sites.length, !sites.length, all || sites.length <= FIRST];
    more.textContent = `Show all ${sites.length}`;
  }

  more.addEventListener("click", () => {
    all = true;
    draw();
    list.querySelector<HTMLElement>(`li:nth-child(${FIRST + 1}) button`)?.focus(); // the button pressed is gone
  });
  return {
    stand,
    element: element("section", { class: "list-group", "data-stand": stand, "aria-labelledby": title.id }, [title, sums, list, more]),
    show: (next, under) => {
      [sites, sets] = [next, under];
      draw();
    },
  };
}
