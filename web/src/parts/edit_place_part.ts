// Where the offtake stands, in the edit form: the way to the map, and the place that came back from it.
import type { Place } from "../core/edit_draft.ts";
import { element } from "./element.ts";

export interface PlacePart {
  readonly element: HTMLElement;
  /** Where two places are to choose from. */
  readonly aside: HTMLElement;
  readonly show: (place: Place | null) => void;
  readonly focus: () => void;
}

export function makePlacePart(move: () => void, leave: () => void): PlacePart {
  const words = element("p", { class: "edit-moved" });
  const aside = element("div", { class: "edit-aside" });
  const go = element("button", { type: "button", class: "strip-button" }, ["Move on the map"]);
  const drop = element("button", { type: "button", class: "quiet" }, ["Leave it where it is"]);
  go.addEventListener("click", move);
  drop.addEventListener("click", () => {
    leave();
    go.focus();
  });
  return {
    element: element("div", { class: "edit-place" }, [words, element("div", { class: "edit-buttons" }, [go, drop]), aside]),
    aside,
    show: (place) => {
      words.textContent = place ? `To be moved: ${place.words}` : "";
      words.hidden = drop.hidden = place === null;
    },
    focus: () => go.focus(),
  };
}
