// Where does one's own offtake stand? Found by code, reach or town, inside or outside, in a list or in none.
import { element } from "../parts/element.ts";
import { type Found, foundBy } from "./phone_found.ts";
import { makeRow, type Row } from "./phone_rows.ts";
import { type Sets, standOf, standWords } from "./phone_stands.ts";
import type { Meeting, Offtake } from "./wire.ts";

export interface FindPart {
  readonly element: HTMLElement;
  readonly show: (sets: Sets) => void;
}

export interface Finding {
  /** One alone was found, or none any more: the map marks it. */
  readonly found: (site: Offtake | null) => void;
  readonly onMap: (site: Offtake) => void;
}

const MOST = 6;

export function makeFind(meeting: Meeting, { found, onMap }: Finding): FindPart {
  const box = element("input", { id: "find", type: "search", autocomplete: "off", autocapitalize: "none", spellcheck: "false", maxlength: 60, "aria-describedby": "find-how" });
  const told = element("p", { class: "find-told", role: "status" });
  const list = element("ol", { class: "sites", "aria-label": "Found" });
  let [rows, sets, last] = [[] as Row[], null as Sets | null, ""];

  function rowOf(site: Offtake): Row {
    const button = element("button", { type: "button", class: "button" }, ["On the map"]);
    button.addEventListener("click", () => onMap(site));
    return makeRow(site, "find", meeting.currency, [button]);
  }

  function show(isNew: boolean): void {
    const all = foundBy(box.value, meeting);
    if (isNew) {
      rows = all.sites.slice(0, MOST).map(rowOf);
      list.replaceChildren(...rows.map((each) => each.element));
      found(all.sites.length === 1 ? (all.sites[0] ?? null) : null);
    }
    list.hidden = rows.length === 0;
    if (sets) for (const row of rows) row.show(sets);
    const words = box.value.trim() && sets ? foundWords(all, box.value.trim(), sets) : "";
    if (told.textContent !== words) told.textContent = words;
  }

  box.addEventListener("input", () => {
    show(box.value.trim() !== last);
    last = box.value.trim();
  });
  return {
    element: element("section", { class: "find-part" }, [
      element("h2", {}, [element("label", { for: box.id }, ["Find an offtake"])]),
      element("p", { class: "soft", id: "find-how" }, ["A code, a reach or a town: where it stands, inside or outside."]),
      box,
      told,
      list,
    ]),
    show: (next) => {
      sets = next;
      show(false);
    },
  };
}

/** "LN-069: inside under both." */
function foundWords({ sites, town }: Found, asked: string, sets: Sets): string {
  const [first] = sites;
  if (!first) return `No code, reach or town here has “${asked}” in it.`;
  if (sites.length === 1) {
    const words = standWords(standOf(first, sets), sets);
    return `${first.code}: ${words.slice(0, 1).toLowerCase()}${words.slice(1)}.`;
  }
  const cut = sites.length > MOST ? `; ${MOST} of them stand here, type more to find one` : "";
  return `${sites.length} found${town ? `, those nearest to ${town} first` : ""}${cut}.`;
}
