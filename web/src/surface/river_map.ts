// The map itself: view, panes from the ground up, controls. The only room that knows Leaflet.
import * as L from "leaflet";
import { type Chosen, NONE, type Origin } from "../core/chosen.ts";
import { discRadiusPx } from "../core/discs.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { type Drawn, drawnAtFirst } from "../core/marks.ts";
import { degrees, worldX, worldY } from "../core/mercator.ts";
import { type Coded, decodeLines } from "../core/lines.ts";
import type { MapView } from "../core/link.ts";
import type { Scene } from "../core/scene.ts";
import { mapSummary } from "../core/sentences.ts";
import { reliefAddress, type Surroundings } from "../wire/catchment.ts";
import { mountDiscs } from "./discs.ts";
import { keepFitted } from "./fitting.ts";
import { type Known, paintLand } from "./land.ts";
import { type Lit, paintLit } from "./lit.ts";
import { mountPins } from "./pins.ts";
import { mountPlaces } from "./places.ts";
import { paintRivers } from "./rivers.ts";
import { Sheet } from "./sheet.ts";
import { Tiles } from "./tiles.ts";
import { readTones, type Tones, watchTheme } from "./tones.ts";

const PANES = ["relief", "land", "rivers", "lit", "towns", "ways", "discs", "names", "stops", "pins"] as const;
const LOWEST_PANE = 300;

const CLEAR_PX = 48;
/** A map narrower than this is a phone's. */
const SMALL_PX = 600;
const SUMMARY_AFTER_MS = 400;
/** Steps of the overview show as soon as the map is this much closer than all in view. */
const CLOSE_ZOOMS = 0.5;

export interface RiverMap {
  readonly dispose: Dispose;
  /** For what is put on the map on demand. */
  readonly leaflet: L.Map;
  /** Adds land, roads and towns; returns how to take them off. */
  readonly surround: (surroundings: Surroundings) => Dispose;
  /**
   * Draws the offtakes as they stand now, by row: marks 0 ring, 1 filled, 2 dash; risk steps 0..4;
   * `byRank` lists the rows from the highest ranked, which lies on top.
   */
  readonly paint: (marks: Uint8Array, steps: Uint8Array, byRank?: ArrayLike<number>) => void;
  /** Lights reaches by row: those drifters come from, those they would have settled in; null clears. */
  readonly light: (fromShare: Float32Array | null, toShare: Float32Array | null) => void;
  /** Where it looks; null while nobody has moved it from all in view. */
  readonly view: () => MapView | null;
  /** Looks there at once; null brings all in view. */
  readonly look: (view: MapView | null) => void;
  /** Tells whenever it comes to rest. */
  readonly onRest: (hear: () => void) => Dispose;
}

/** `coveredPx` says how much of the map's left is covered at the moment. */
export function mountRiverMap(
  host: HTMLElement,
  scene: Scene,
  chosen: Chosen,
  describe: (summary: string) => void,
  coveredPx: () => number,
  finerRivers: () => Promise<Coded>,
): RiverMap {
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const [west, south, east, north] = scene.facts.bounds;
  const bounds = L.latLngBounds([south, west], [north, east]);
  const map = L.map(host, {
    attributionControl: false,
    zoomAnimation: !still,
    fadeAnimation: !still,
    markerZoomAnimation: !still,
    inertia: !still,
    zoomSnap: 0.1,
    zoomDelta: 0.75,
    wheelPxPerZoomLevel: 140,
    maxBounds: bounds.pad(0.8),
    maxBoundsViscosity: 0.8,
    maxZoom: 17,
  });
  PANES.forEach((name, i) => {
    map.createPane(name).style.zIndex = String(LOWEST_PANE + 10 * i);
  });
  const fitZoom = (): number => map.getBoundsZoom(bounds);
  map.fitBounds(bounds);
  for (const button of host.querySelectorAll<HTMLElement>(".leaflet-control-zoom a")) button.tabIndex = -1; // the map itself takes + and -
  L.control.scale({ imperial: false, maxWidth: 120 }).addTo(map);

  let tones = readTones(host);
  let drawn: Drawn = drawnAtFirst(scene);
  let lit: Lit = { from: null, to: null };
  const relief = scene.facts.relief_bounds;
  if (relief) {
    const [left, bottom, right, top] = relief;
    const box = L.latLngBounds([bottom, left], [top, right]);
    L.imageOverlay(reliefAddress(), box, { pane: "relief", className: "relief", alt: "" }).addTo(map);
  }
  const now = (): Tones => tones;
  let lines = scene.riverLines;
  let rivers = new Tiles("rivers", paintRivers(scene, lines, now)).addTo(map);
  const litSheet = new Sheet("lit", paintLit(scene, () => lines, now, () => lit)); // added while something is lit
  const refining = refineWhenClose(map, fitZoom, finerRivers, (finer) => {
    lines = decodeLines(finer);
    rivers.remove();
    rivers = new Tiles("rivers", paintRivers(scene, lines, now)).addTo(map);
    litSheet.repaint();
  });
  const grounds = new Set<Sheet>();
  const discs = mountDiscs(map, "discs", scene, tones, chosen, fitZoom);
  const radiusPx = (): number => tones.signScale * discRadiusPx(map.getZoom() - fitZoom(), map.getSize().x);
  const pins = mountPins(map, "pins", scene, chosen, () => drawn, radiusPx);
  const fitting = keepFitted(map, host, bounds);
  const summary = tellSummary(map, scene, () => drawn.byRank, describe);
  const parts: Dispose[] = [
    refining,
    () => rivers.remove(),
    () => litSheet.remove(),
    discs.dispose,
    pins.dispose,
    watchTheme(() => {
      tones = readTones(host);
      for (const sheet of [...grounds, rivers, litSheet]) sheet.repaint();
      discs.retone(tones);
      pins.refresh();
      fitting.anew();
    }),
    chosen.onChange((now, before) => {
      if (now.selected !== NONE && now.selected !== before.selected) reveal(now.selected, now.origin);
    }),
    summary.dispose,
    fitting.dispose,
  ];

  /** Brings an offtake clear of the edges and of whatever covers the map's left; a small map to its middle. */
  function reveal(row: number, origin: Origin): void {
    if (map.getSize().x < SMALL_PX && origin !== "map") {
      map.panTo(placeOf(scene, row), { animate: !still });
      return;
    }
    map.panInside(placeOf(scene, row), {
      paddingTopLeft: [coveredPx() + CLEAR_PX, CLEAR_PX],
      paddingBottomRight: [2 * CLEAR_PX, CLEAR_PX],
      animate: !still,
    });
  }

  return {
    leaflet: map,
    dispose: () => {
      together(parts)();
      map.remove();
    },
    surround: ({ land, roads, places }) => {
      const ground = new Sheet("land", paintLand(land, roads, knownGround(scene), now)).addTo(map);
      grounds.add(ground);
      const takeOff = (): void => {
        grounds.delete(ground);
        ground.remove();
      };
      return together([takeOff, mountPlaces(map, { dots: "towns", names: "names" }, places, scene, radiusPx)]);
    },
    paint: (marks, steps, byRank = drawn.byRank) => {
      drawn = { marks, steps, byRank };
      discs.paint(drawn);
      pins.refresh();
      summary.soon();
    },
    light: (from, to) => {
      lit = { from, to };
      if (!from && !to) litSheet.remove();
      else if (map.hasLayer(litSheet)) litSheet.repaint();
      else litSheet.addTo(map);
    },
    view: fitting.view,
    look: fitting.look,
    onRest: (hear) => {
      map.on("moveend", hear);
      return () => map.off("moveend", hear);
    },
  };
}

/** Asks for the rivers in full once the map is close enough to tell, and again if that failed. */
function refineWhenClose(
  map: L.Map,
  fitZoom: () => number,
  finerRivers: () => Promise<Coded>,
  refine: (finer: Coded) => void,
): Dispose {
  let [asked, gone] = [false, false];
  const look = (): void => {
    if (asked || map.getZoom() < fitZoom() + CLOSE_ZOOMS) return;
    asked = true;
    finerRivers().then(
      (finer) => {
        if (!gone) refine(finer);
      },
      () => {
        asked = false;
      },
    );
  };
  map.on("zoomend", look);
  return () => {
    gone = true;
    map.off("zoomend", look);
  };
}

/** The relief's box in world coordinates, else the catchment's. */
function knownGround({ facts }: Scene): Known {
  const [west, south, east, north] = facts.relief_bounds ?? facts.bounds;
  return { west: worldX(west), north: worldY(north), east: worldX(east), south: worldY(south) };
}

function placeOf(scene: Scene, row: number): L.LatLng {
  const { lat, lon } = scene.offtakes;
  return L.latLng(degrees(lat[row] ?? 0), degrees(lon[row] ?? 0));
}

/** Says in words what is in view: now, whenever the map comes to rest, and soon after a new order. */
function tellSummary(
  map: L.Map,
  scene: Scene,
  byRank: () => ArrayLike<number>,
  describe: (summary: string) => void,
): { readonly soon: () => void; readonly dispose: Dispose } {
  let timer = 0;
  const tell = (): void => {
    const view = map.getBounds();
    const seen = Array.from(byRank()).filter((row) => view.contains(placeOf(scene, row)));
    const first = scene.offtakes.offtake_id[seen[0] ?? NONE] ?? "";
    describe(mapSummary(scene.offtakes.count, seen.length, first));
  };
  map.on("moveend", tell);
  tell();
  return {
    soon: () => {
      clearTimeout(timer);
      timer = window.setTimeout(tell, SUMMARY_AFTER_MS);
    },
    dispose: () => {
      clearTimeout(timer);
      map.off("moveend", tell);
    },
  };
}
