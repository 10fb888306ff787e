// Keeps all in view until someone moves the map; from then on it looks where it was left.
import * as L from "leaflet";
import type { Dispose } from "../core/dispose.ts";
import type { MapView } from "../core/link.ts";

const ZOOMS_BELOW_FIT = 0.5;
const BY_HAND = ["wheel", "pointerdown", "keydown"] as const;
/** A place that changes its size moves the middle by no more. */
const SAME_PX = 2;

export interface Fitting {
  /** Puts all in view again. */
  readonly anew: () => void;
  readonly view: () => MapView | null;
  readonly look: (view: MapView | null) => void;
  readonly dispose: Dispose;
}

/** Follows the size of the map's place on the page too. */
export function keepFitted(map: L.Map, host: HTMLElement, bounds: L.LatLngBounds): Fitting {
  let moved = false;
  let told: MapView | null = null;
  let fitted = map.getSize(); // drawn for this size already: fitting again would draw all twice
  const note = (): void => {
    moved = true;
  };
  const fit = (): void => {
    map.invalidateSize({ animate: false });
    map.setMinZoom(0);
    const size = map.getSize();
    if (!moved && !size.equals(fitted)) map.fitBounds(bounds, { animate: false });
    fitted = size;
    map.setMinZoom(map.getBoundsZoom(bounds) - ZOOMS_BELOW_FIT);
  };
  const anew = (): void => {
    moved = false;
    fit();
    map.fitBounds(bounds, { animate: false });
  };
  for (const name of BY_HAND) host.addEventListener(name, note);
  const watcher = new ResizeObserver(fit);
  watcher.observe(host);
  return {
    anew,
    view: () => {
      if (!moved) return null;
      const zoom = map.getZoom();
      const still = told?.zoom === zoom && map.project([told.lat, told.lon]).distanceTo(map.project(map.getCenter())) < SAME_PX;
      if (still) return told;
      const { lat, lng: lon } = map.getCenter();
      return { lat, lon, zoom };
    },
    look: (view) => {
      if (!view) {
        if (moved) anew();
        return;
      }
      moved = true;
      told = view;
      map.setView([view.lat, view.lon], view.zoom, { animate: false });
    },
    dispose: () => {
      watcher.disconnect();
      for (const name of BY_HAND) host.removeEventListener(name, note);
    },
  };
}
