// The map itself: view, panes from the ground up, controls. The only room that knows Leaflet.
import * as L from "leaflet";
import { type Chosen, NONE } from "../core/chosen.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { degrees } from "../core/mercator.ts";
import type { Scene } from "../core/scene.ts";
import { mapSummary } from "../core/sentences.ts";
import { RELIEF_ADDRESS, type Surroundings } from "../wire/catchment.ts";
import { mountDiscs } from "./discs.ts";
import { paintLand } from "./land.ts";
import { mountPins } from "./pins.ts";
import { mountPlaces } from "./places.ts";
import { paintRivers } from "./rivers.ts";
import { Sheet } from "./sheet.ts";
import { readTones } from "./tones.ts";

const PANES = ["relief", "land", "rivers", "towns", "discs", "names", "pins"] as const;
const LOWEST_PANE = 300;
const ZOOMS_BELOW_FIT = 0.5;

const CLEAR_PX = 48;

export interface RiverMap {
  readonly dispose: Dispose;
  /** Adds land, roads and towns; returns how to take them off. */
  readonly surround: (surroundings: Surroundings) => Dispose;
}

/** `coveredPx` says how much of the map's left is covered at the moment. */
export function mountRiverMap(
  host: HTMLElement,
  scene: Scene,
  chosen: Chosen,
  describe: (summary: string) => void,
  coveredPx: () => number,
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
  L.control.scale({ imperial: false, maxWidth: 120 }).addTo(map);

  const tones = readTones(host);
  const relief = scene.facts.relief_bounds;
  if (relief) {
    const [left, bottom, right, top] = relief;
    const box = L.latLngBounds([bottom, left], [top, right]);
    L.imageOverlay(RELIEF_ADDRESS, box, { pane: "relief", className: "relief", alt: "" }).addTo(map);
  }
  const rivers = new Sheet("rivers", paintRivers(scene, tones, fitZoom)).addTo(map);
  const parts: Dispose[] = [
    () => rivers.remove(),
    mountDiscs(map, "discs", scene, tones, chosen, fitZoom),
    mountPins(map, "pins", scene, chosen, fitZoom),
    chosen.onChange((now, before) => {
      if (now.selected !== NONE && now.selected !== before.selected) reveal(now.selected);
    }),
    tellSummary(map, scene, describe),
    keepFitted(map, host, bounds),
  ];

  /** Brings an offtake clear of the edges and of whatever covers the map's left. */
  function reveal(row: number): void {
    map.panInside(placeOf(scene, row), {
      paddingTopLeft: [coveredPx() + CLEAR_PX, CLEAR_PX],
      paddingBottomRight: [2 * CLEAR_PX, CLEAR_PX],
      animate: !still,
    });
  }

  return {
    dispose: () => {
      together(parts)();
      map.remove();
    },
    surround: ({ land, roads, places }) => {
      const ground = new Sheet("land", paintLand(land, roads, tones)).addTo(map);
      return together([() => ground.remove(), mountPlaces(map, { dots: "towns", names: "names" }, places, scene, fitZoom)]);
    },
  };
}

function placeOf(scene: Scene, row: number): L.LatLng {
  const { lat, lon } = scene.offtakes;
  return L.latLng(degrees(lat[row] ?? 0), degrees(lon[row] ?? 0));
}

/** Says in words what is in view, now and whenever the map comes to rest. */
function tellSummary(map: L.Map, scene: Scene, describe: (summary: string) => void): Dispose {
  const tell = (): void => {
    const view = map.getBounds();
    const seen = scene.byRank.filter((row) => view.contains(placeOf(scene, row)));
    const first = scene.offtakes.offtake_id[seen[0] ?? NONE] ?? "";
    describe(mapSummary(scene.offtakes.count, seen.length, first));
  };
  map.on("moveend", tell);
  tell();
  return () => {
    map.off("moveend", tell);
  };
}

/** Follows the size of its place on the page; while nobody has moved the map, all stays in view. */
function keepFitted(map: L.Map, host: HTMLElement, bounds: L.LatLngBounds): Dispose {
  let moved = false;
  const note = (): void => {
    moved = true;
  };
  const fit = (): void => {
    map.invalidateSize({ animate: false });
    map.setMinZoom(0);
    if (!moved) map.fitBounds(bounds, { animate: false });
    map.setMinZoom(map.getBoundsZoom(bounds) - ZOOMS_BELOW_FIT);
  };
  for (const name of ["wheel", "pointerdown", "keydown"]) host.addEventListener(name, note);
  const watcher = new ResizeObserver(fit);
  watcher.observe(host);
  return () => {
    watcher.disconnect();
    for (const name of ["wheel", "pointerdown", "keydown"]) host.removeEventListener(name, note);
  };
}
