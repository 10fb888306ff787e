// Places that phones marked: on the map, and as a list with their words. The facilitator alone sees them.
import { drawing } from "../parts/drawing.ts";
import { element } from "../parts/element.ts";
import type { Dispose } from "../core/dispose.ts";
import { asTheCase, drawGround } from "./ground.ts";
import { type LeadPart, say, section, whenChanged } from "./lead_parts.ts";
import { nearestWords } from "./lead_words.ts";
import type { Meeting, PlaceMarked } from "./told.ts";
import { counted } from "./words.ts";

export function placesPart(meeting: Meeting): LeadPart & { readonly dispose: Dispose } {
  const ground = drawGround(meeting, { label: "Places marked by phones", rivers: true, towns: true });
  ground.paint((offtake) => ({ ...asTheCase(offtake), risk: false, weight: "faint" }));
  const words = element("p");
  const list = element("ol", { class: "lead-places-list", "aria-label": "Places marked" });
  const map = element("div", { class: "lead-map" }, [ground.element]);
  const part = section("places", "Places marked", [element("p", { class: "lead-soft" }, ["Seen by you alone: neither wall nor minutes show them."]), words, map, list]);

  const show = whenChanged((places: readonly PlaceMarked[]) => {
    say(words, places.length ? `${counted(places.length, "place")}, of ${counted(new Set(places.map(({ phone }) => phone)).size, "phone")}.` : "No phone has marked a place yet.");
    map.hidden = list.hidden = places.length === 0;
    ground.layer.replaceChildren(...places.map(sign));
    ground.paint((offtake) => ({ ...asTheCase(offtake), risk: false, weight: "faint" }), { label: `${counted(places.length, "place")} marked on the map; the list below says the same`, rivers: true, towns: true });
    list.replaceChildren(...places.map((place) => element("li", {}, [
      element("span", { class: "lead-place-words" }, [place.words.trim() || "No words."]),
      element("span", { class: "lead-soft" }, [`Phone ${place.phone}, ${nearestWords(meeting, place)}`]),
    ])));
  });

  return { element: part, show: (lead) => show(lead.places), dispose: ground.dispose };
}

/** A numbered diamond, as the list numbers it. */
function sign({ x_mm, y_mm }: PlaceMarked, place: number): SVGElement {
  return drawing("g", { class: "lead-place", transform: `translate(${x_mm} ${y_mm})` }, [
    drawing("rect", { class: "lead-place-sign" }),
    drawing("text", { class: "lead-place-number" }, [String(place + 1)]),
  ]);
}
