// Places that phones marked: on the map and as a list. The facilitator alone sees them; what was written stays
// hidden until it is asked for, since a screen may be mirrored. Nothing tells which phone marked which.
import { drawing } from "../parts/drawing.ts";
import { element } from "../parts/element.ts";
import type { Dispose } from "../core/dispose.ts";
import { asTheCase, drawGround } from "./ground.ts";
import { button, type LeadPart, say, section, whenChanged } from "./lead_parts.ts";
import type { Meeting, PlaceMarked } from "./told.ts";
import { counted, nearWords } from "./words.ts";

export function placesPart(meeting: Meeting): LeadPart & { readonly dispose: Dispose } {
  const ground = drawGround(meeting, { label: "Places marked by phones", rivers: true, towns: true });
  ground.paint((offtake) => ({ ...asTheCase(offtake), risk: false, weight: "faint" }));
  const words = element("p");
  const list = element("ol", { class: "lead-places-list is-hidden", "aria-label": "Places marked" });
  const map = element("div", { class: "lead-map" }, [ground.element]);
  const open = button("", "", () => unfold(list.classList.contains("is-hidden")));
  const part = section("places", "Places marked", [element("p", { class: "lead-soft" }, ["Seen by you alone: neither wall nor minutes show them."]), words, map, list, open]);

  function unfold(isShown: boolean): void {
    list.classList.toggle("is-hidden", !isShown);
    say(open, isShown ? "Hide what was written" : "Show what was written");
  }

  const show = whenChanged((marked: readonly PlaceMarked[]) => {
    // Along the map, so that those of one phone do not stand together.
    const places = [...marked].sort((a, b) => a.x_mm - b.x_mm || a.y_mm - b.y_mm);
    say(words, places.length ? `${counted(places.length, "place")} marked.` : "No phone has marked a place yet.");
    map.hidden = list.hidden = places.length === 0;
    open.hidden = !places.some((place) => place.words.trim());
    ground.layer.replaceChildren(...places.map(sign));
    ground.paint((offtake) => ({ ...asTheCase(offtake), risk: false, weight: "faint" }), { label: `${counted(places.length, "place")} marked on the map; the list below says the same`, rivers: true, towns: true });
    list.replaceChildren(...places.map(({ words: written, x_mm, y_mm }) => element("li", {}, [
      element("span", {}, [nearWords(meeting, x_mm, y_mm)]),
      element("span", { class: "lead-place-words" }, [written.trim()]),
    ])));
  });

  unfold(false);
  return { element: part, show: (lead) => show(lead.places), dispose: ground.dispose };
}

/** A numbered diamond, as the list numbers it. */
function sign({ x_mm, y_mm }: PlaceMarked, place: number): SVGElement {
  return drawing("g", { class: "lead-place", transform: `translate(${x_mm} ${y_mm})` }, [
    drawing("rect", { class: "lead-place-sign" }),
    drawing("text", { class: "lead-place-number" }, [String(place + 1)]),
  ]);
}
