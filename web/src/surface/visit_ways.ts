// A run on the map: a line a day in the order of its stops, each day dashed its own way, and beside every
// site its number, black on white; where days start stands a square.
import * as L from "leaflet";
import { type Dispose, together } from "../core/dispose.ts";
import { worldX, worldY } from "../core/mercator.ts";
import { type Box, sidesOf } from "../core/visit_sides.ts";
import { type Paint, Sheet } from "./sheet.ts";
import { readTones, watchTheme } from "./tones.ts";

export interface Place {
  readonly lon: number;
  readonly lat: number;
}

export interface Numbered extends Place {
  readonly label: string;
}

export interface WaysShown {
  readonly start: Place | null;
  /** Stops of each day in order. */
  readonly days: readonly (readonly Numbered[])[];
  /** No road is known: the lines are thin, dashed, and said to be no roads. */
  readonly straight: boolean;
}

export interface VisitWays {
  readonly show: (ways: WaysShown) => void;
  /** Brings all of it into view. */
  readonly reveal: () => void;
  readonly dispose: Dispose;
}

/** A day's dashes in px; with round ends, 0 is a dot. */
const DASHES: readonly (readonly number[])[] = [[], [9, 7], [0, 6.5], [14, 6, 0, 6], [4, 8]];
const LINE_PX = 2.4;
const CASING_PX = 5.4;
const STRAIGHT = { dashes: [[5, 5], [9, 7], [0, 6.5], [14, 6, 0, 6], [4, 8]], line: 1.4, casing: 4 } as const;
const NOT_ROADS = "straight lines, not roads";
const PANES = { lines: "ways", numbers: "stops" } as const;
/** How far a number stands off its site, on a desk. */
const GAP_PX = 5;
const CLEAR_PX: L.PointTuple = [60, 60];
const CLOSEST = 12;

function wayOf(start: Place | null, stops: readonly Place[]): Place[] {
  return stops.length ? [start, ...stops, start].filter((each): each is Place => each !== null) : [];
}

/** The middle of the longest of all lines; null where there is none. */
function middleOf({ start, days }: WaysShown): Place | null {
  let [longest, middle]: [number, Place | null] = [0, null];
  for (const stops of days) {
    const way = wayOf(start, stops);
    way.slice(1).forEach((to, i) => {
      const from = way[i] ?? to;
      const length = Math.hypot(to.lon - from.lon, to.lat - from.lat);
      if (length > longest) [longest, middle] = [length, { lon: (from.lon + to.lon) / 2, lat: (from.lat + to.lat) / 2 }];
    });
  }
  return middle;
}

export function mountVisitWays(map: L.Map): VisitWays {
  let shown: WaysShown = { start: null, days: [], straight: false };
  let tones = readTones(map.getContainer());
  let markers: L.Marker[] = [];
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const paint: Paint = (pen, at) => {
    pen.lineJoin = pen.lineCap = "round";
    const [line, casing, dashes] = shown.straight ? [STRAIGHT.line, STRAIGHT.casing, STRAIGHT.dashes] : [LINE_PX, CASING_PX, DASHES];
    for (const [width, tone, cased] of [[casing, tones.discHalo, true], [line, tones.discEdge, false]] as const) {
      shown.days.forEach((stops, day) => {
        const way = wayOf(shown.start, stops);
        if (way.length < 2) return;
        pen.beginPath();
        way.forEach(({ lon, lat }, i) => {
          const [x, y] = [worldX(lon) * at.size + at.offsetX, worldY(lat) * at.size + at.offsetY];
          if (i) pen.lineTo(x, y);
          else pen.moveTo(x, y);
        });
        pen.setLineDash(cased ? [] : (dashes[day % dashes.length] ?? []).map((each) => each * tones.riverScale));
        [pen.lineWidth, pen.strokeStyle] = [width * tones.riverScale, tone];
        pen.stroke();
      });
    }
    pen.setLineDash([]);
  };
  const sheet = new Sheet(PANES.lines, paint).addTo(map);

  function mark({ lon, lat }: Place, className: string, words: string): L.Marker {
    const body = document.createElement("span");
    body.className = className;
    body.textContent = words;
    const icon = L.divIcon({ className: "visit-mark", html: body, iconSize: [0, 0] });
    return L.marker([lat, lon], { icon, pane: PANES.numbers, interactive: false, keyboard: false }).addTo(map);
  }

  function clear(): void {
    for (const marker of markers) marker.remove();
    markers = [];
  }

  /** Numbers close together stand on different sides of their sites. */
  function settle(): void {
    const plates = markers.map((marker) => marker.getElement()?.querySelector<HTMLElement>(".visit-plate"));
    const sizes = markers.flatMap((marker, i) => {
      const plate = plates[i];
      const { x, y } = map.latLngToLayerPoint(marker.getLatLng());
      return plate ? [{ plate, x, y, width: plate.offsetWidth, height: plate.offsetHeight }] : [];
    });
    const gap = GAP_PX * tones.signScale;
    sidesOf(sizes, gap, startBox(1.5 * gap)).forEach((side, i) => sizes[i]?.plate.setAttribute("data-side", side));
  }

  function startBox(half: number): Box[] {
    if (!shown.start) return [];
    const { x, y } = map.latLngToLayerPoint([shown.start.lat, shown.start.lon]);
    return [{ left: x - half, top: y - half, right: x + half, bottom: y + half }];
  }

  map.on("zoomend viewreset", settle);
  const unwatch = watchTheme(() => {
    tones = readTones(map.getContainer());
    sheet.repaint();
    settle();
  });
  return {
    show: (ways) => {
      shown = ways;
      clear();
      if (ways.start && ways.days.some(({ length }) => length)) markers.push(mark(ways.start, "visit-start", ""));
      for (const stops of ways.days) for (const stop of stops) markers.push(mark(stop, "visit-plate", stop.label));
      const middle = ways.straight ? middleOf(ways) : null;
      if (middle) markers.push(mark(middle, "visit-not-roads", NOT_ROADS));
      settle();
      sheet.repaint();
    },
    reveal: () => {
      const all = [shown.start, ...shown.days.flat()].filter((each): each is Place => each !== null);
      if (all.length) map.fitBounds(L.latLngBounds(all.map(({ lon, lat }) => [lat, lon])), { padding: CLEAR_PX, maxZoom: CLOSEST, animate: !still });
    },
    dispose: together([clear, () => sheet.remove(), unwatch, () => map.off("zoomend viewreset", settle)]),
  };
}
