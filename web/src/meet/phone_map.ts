// The map on a phone: the same signs as on the wall, full where this phone's weights reach; a button makes it large.
import type { Dispose } from "../core/dispose.ts";
import { drawing } from "../parts/drawing.ts";
import { element } from "../parts/element.ts";
import { asTheSet, drawGround } from "./ground.ts";
import type { Place } from "./mine.ts";
import type { Sets } from "./phone_stands.ts";
import { centre, densestOf, windowOf } from "./phone_zoom.ts";
import { counted } from "./words.ts";
import type { Meeting, Offtake } from "./wire.ts";

export interface Spot {
  readonly x_mm: number;
  readonly y_mm: number;
}

export interface MapPart {
  readonly element: HTMLElement;
  readonly show: (sets: Sets) => void;
  /** Marks an offtake that was sought; null marks none. */
  readonly seek: (site: Offtake | null) => void;
  /** Made large, with this offtake in the middle. */
  readonly look: (site: Offtake) => void;
  /** Places marked, and the one that is being marked. */
  readonly mark: (places: readonly Place[], draft: Spot | null) => void;
  readonly dispose: Dispose;
}

const SIGNS = [
  ["inside", "inside"],
  ["outside", "outside"],
  ["not-this-round", "built, or not in this round"],
] as const;

export function makeMap(meeting: Meeting, tapped: (spot: Spot) => void): MapPart {
  const ground = drawGround(meeting, { label: "", rivers: true, towns: true });
  const box = element("div", { class: "map-box", role: "region", "aria-label": "Map" }, [ground.element]);
  const larger = element("button", { type: "button", class: "button" }, ["Large map"]);
  let [sets, sought] = [null as Sets | null, null as Offtake | null];

  function paint(): void {
    if (!sets) return;
    const under = sets.isOwn ? "your" : "the agency’s";
    const mark = sought ? `; ${sought.code} is marked` : "";
    const label = `Map of ${meeting.catchment}: ${counted(meeting.offtakes.length, "offtake")}, ${sets.inside.size} inside under ${under} weights${mark}`;
    const look = asTheSet(sets.inside);
    ground.paint((each) => (each === sought ? { ...look(each), weight: "strong", words: each.code } : look(each)), { label, rivers: true, towns: true });
  }

  function enlarge(large: boolean): void {
    box.classList.toggle("large", large);
    larger.textContent = large ? "Small map" : "Large map";
    if (large) box.tabIndex = 0; // arrows scroll it
    else box.removeAttribute("tabindex");
    const spot = sought ?? densestOf(meeting.offtakes, ...windowOf(box, ground.element));
    if (large && spot) centre(box, ground.element, spot);
  }

  larger.addEventListener("click", () => enlarge(!box.classList.contains("large")));
  ground.element.addEventListener("click", (event) => {
    const spot = ground.placeOf(event);
    if (spot && isOn(spot, meeting)) tapped(spot);
  });
  return {
    element: element("section", { class: "map-part", "aria-labelledby": "map-title" }, [element("h2", { id: "map-title" }, ["On the river"]), box, signList(), element("p", { class: "soft" }, ["The darker the fill, the higher the risk to fish."]), larger]),
    show: (next) => {
      sets = next;
      paint();
    },
    seek: (site) => {
      sought = site;
      paint();
    },
    look: (site) => {
      sought = site;
      paint();
      enlarge(true);
      box.focus({ preventScroll: true });
      box.scrollIntoView({ block: "center" });
    },
    mark: (places, draft) => {
      const pins = places.map((place, i) => pin(place, String(i + 1)));
      ground.layer.replaceChildren(...pins, ...(draft ? [pin(draft, "", "pin-draft")] : []));
    },
    dispose: ground.dispose,
  };
}

function signList(): HTMLElement {
  return element("ul", { class: "map-signs" }, SIGNS.map(([sign, words]) => element("li", {}, [element("span", { class: `round-sign round-sign-${sign} risk-4`, "aria-hidden": "true" }), words])));
}

function isOn({ x_mm, y_mm }: Spot, { map }: Meeting): boolean {
  return x_mm >= 0 && y_mm >= 0 && x_mm <= map.width_mm && y_mm <= map.height_mm;
}

/** A pin whose point is the place; its size is the style sheet's. */
function pin({ x_mm, y_mm }: Spot, words: string, kind = ""): SVGGElement {
  return drawing("g", { transform: `translate(${x_mm} ${y_mm})` }, [
    drawing("g", { class: `pin ${kind}`.trim() }, [drawing("path", { d: "M0 0C-3-7-9-10-9-17a9 9 0 0 1 18 0C9-10 3-7 0 0Z" }), drawing("text", { y: -12.5, "text-anchor": "middle" }, [words])]),
  ]);
}
