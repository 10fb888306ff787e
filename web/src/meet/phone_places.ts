// Places that matter to whoever holds this phone: marked by a tap on the map or chosen from a list, with a few
// words, for the facilitator alone.
import { element } from "../parts/element.ts";
import { MOST_PLACES, MOST_WORDS, type Place } from "./mine.ts";
import type { Spot } from "./phone_map.ts";
import type { Meeting } from "./wire.ts";
import { nearWords } from "./words.ts";

export interface PlacesPart {
  readonly element: HTMLElement;
  /** The map was tapped. */
  readonly tapped: (spot: Spot) => void;
}

export interface Marking {
  readonly places: readonly Place[];
  readonly set: (places: readonly Place[]) => void;
  /** Something to be drawn on the map has changed. */
  readonly drawn: (places: readonly Place[], draft: Spot | null) => void;
}

const WORDS = {
  title: "Mark a place that matters to you",
  private: "Only the facilitator sees what you mark. It never stands on the wall or in the minutes. Write no names.",
  how: "Tap the map above, or choose here.",
  full: `You have marked ${MOST_PLACES} places. Remove one to mark another.`,
  none: "Choose a place first: tap the map, or take one from the list.",
};

export function makePlaces(meeting: Meeting, { places: first, set, drawn }: Marking): PlacesPart {
  let [places, draft] = [first, null as Spot | null];
  const told = element("p", { class: "told", role: "status" });
  const kept = element("ol", { class: "marked" });
  const full = element("p", {}, [WORDS.full]);
  const form = makeForm(meeting, (spot) => take(spot), () => add());
  const made = element("details", { class: "places-part" }, [element("summary", { class: "button" }, [WORDS.title]), element("p", {}, [WORDS.private]), kept, full, form.element, told]);

  function show(): void {
    kept.replaceChildren(...places.map((place, i) => markedItem(meeting, place, i, () => remove(i))));
    [form.element.hidden, full.hidden] = [places.length >= MOST_PLACES, places.length < MOST_PLACES];
    drawn(places, made.open ? draft : null);
  }

  function take(spot: Spot | null): void {
    draft = spot;
    told.textContent = spot ? `Chosen: ${nearWords(meeting, spot.x_mm, spot.y_mm)}.` : "";
    drawn(places, draft);
  }

  function change(next: readonly Place[], words: string): void {
    places = next;
    set(places);
    take(null);
    told.textContent = words;
    show();
    made.querySelector("summary")?.focus(); // what was pressed may be gone
  }

  function add(): void {
    if (!draft) {
      told.textContent = WORDS.none;
      return;
    }
    const words = form.words();
    form.clear();
    change([...places, { ...draft, words }], `Marked ${nearWords(meeting, draft.x_mm, draft.y_mm)}.`);
  }

  function remove(at: number): void {
    change(places.filter((_, i) => i !== at), `Place ${at + 1} is removed.`);
  }

  made.addEventListener("toggle", show);
  show();
  return {
    element: made,
    tapped: (spot) => {
      if (!made.open || places.length >= MOST_PLACES) return;
      form.clearChoice();
      take(spot);
    },
  };
}

function markedItem(meeting: Meeting, { x_mm, y_mm, words }: Place, at: number, remove: () => void): HTMLElement {
  const near = nearWords(meeting, x_mm, y_mm);
  const button = element("button", { type: "button", class: "button", "aria-label": `Remove place ${at + 1}, ${near}` }, ["Remove"]);
  button.addEventListener("click", remove);
  return element("li", {}, [element("span", { class: "marked-words" }, [element("strong", {}, [near]), element("span", {}, [words])]), button]);
}

interface MarkForm {
  readonly element: HTMLElement;
  readonly words: () => string;
  readonly clear: () => void;
  readonly clearChoice: () => void;
}

function makeForm({ map, offtakes }: Meeting, take: (spot: Spot | null) => void, add: () => void): MarkForm {
  const spots: Spot[] = [...map.towns, ...offtakes];
  const named = (names: readonly string[], from: number): HTMLOptionElement[] => names.map((name, i) => element("option", { value: from + i }, [name]));
  const towns = map.towns.map(({ name }) => name);
  const sites = offtakes.map(({ code, reach }) => `${code}, ${reach}`);
  const choice = element("select", { id: "mark-choice" }, [
    element("option", { value: "" }, ["Choose a town or an offtake"]),
    ...(towns.length ? [element("optgroup", { label: "Towns" }, named(towns, 0))] : []),
    element("optgroup", { label: "Offtakes" }, named(sites, towns.length)),
  ]);
  const words = element("textarea", { id: "mark-words", rows: 3, maxlength: MOST_WORDS, autocomplete: "off" });
  const left = element("p", { class: "soft", id: "mark-left" });
  words.setAttribute("aria-describedby", left.id);
  const count = (): void => void (left.textContent = `${MOST_WORDS - words.value.length} letters left`);
  const send = element("button", { type: "submit", class: "button main" }, ["Mark this place"]);
  const made = element("form", { class: "mark-form" }, [element("p", {}, [WORDS.how]), label(choice, "Place"), choice, label(words, "What matters there (you may leave this empty)"), words, left, send]);
  choice.addEventListener("change", () => take(choice.value === "" ? null : spotAt(spots[Number(choice.value)])));
  words.addEventListener("input", count);
  made.addEventListener("submit", (event) => {
    event.preventDefault();
    add();
  });
  const clear = (): void => {
    [words.value, choice.value] = ["", ""];
    count();
  };
  clear();
  return { element: made, words: () => words.value.trim().replace(/\s+/g, " "), clear, clearChoice: () => void (choice.value = "") };
}

function spotAt(spot: Spot | undefined): Spot | null {
  return spot ? { x_mm: spot.x_mm, y_mm: spot.y_mm } : null;
}

function label(of: HTMLElement, words: string): HTMLElement {
  return element("label", { for: of.id }, [words]);
}
