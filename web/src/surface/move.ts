// A pin that is moved on the map, by pointer, finger or arrow keys, with a line back to where it stood;
// and marks beside what a finding is about.
import * as L from "leaflet";
import type { LonLat } from "../core/edit_place.ts";
import type { Dispose } from "../core/dispose.ts";

export interface PinHeard {
  readonly dragged: (place: LonLat) => void;
  readonly stepped: (east: number, north: number) => void;
  readonly left: () => void;
}

const KEYS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowUp: [0, 1], ArrowDown: [0, -1], ArrowLeft: [-1, 0], ArrowRight: [1, 0],
};
const CLOSE_ZOOM = 14;
const SIZE_PX = 44;

export function mountMovedPin(map: L.Map, code: string, from: LonLat, heard: PinHeard): { readonly show: (place: LonLat) => void; readonly dispose: Dispose } {
  const start = L.latLng(from.lat, from.lon);
  const body = document.createElement("span");
  body.className = "moved-pin";
  const icon = L.divIcon({ className: "moved", html: body, iconSize: [SIZE_PX, SIZE_PX] });
  const name = `${code}: drag, or move by arrow keys`;
  const marker = L.marker(start, { icon, pane: "pins", draggable: true, autoPan: true, keyboard: true, title: "", alt: name });
  const line = L.polyline([start, start], { pane: "pins", className: "moved-line", interactive: false });
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  line.addTo(map);
  marker.addTo(map);
  map.setView(start, Math.max(map.getZoom(), CLOSE_ZOOM), { animate: !still });
  const pin = marker.getElement();
  pin?.setAttribute("aria-label", name);
  pin?.setAttribute("role", "button");

  function pressed(event: KeyboardEvent): void {
    const side = KEYS[event.key];
    if (!side && event.key !== "Escape") return;
    event.preventDefault();
    event.stopPropagation();
    if (!side) return heard.left();
    const times = event.shiftKey ? 10 : 1;
    heard.stepped(side[0] * times, side[1] * times);
  }

  pin?.addEventListener("keydown", pressed);
  const dragged = (): void => {
    const { lat, lng } = marker.getLatLng();
    line.setLatLngs([start, [lat, lng]]);
    heard.dragged({ lon: lng, lat });
  };
  marker.on("drag", dragged);
  return {
    show: ({ lon, lat }) => {
      marker.setLatLng([lat, lon]);
      line.setLatLngs([start, [lat, lon]]);
      if (!map.getBounds().pad(-0.05).contains([lat, lon])) map.panTo([lat, lon], { animate: !still });
    },
    dispose: () => {
      pin?.removeEventListener("keydown", pressed);
      marker.remove();
      line.remove();
    },
  };
}

/** Rings at places that findings are about. */
export function mountFlags(map: L.Map, places: readonly LonLat[]): Dispose {
  const markers = places.map(({ lon, lat }) => {
    const icon = L.divIcon({ className: "flag", iconSize: [22, 22] });
    return L.marker([lat, lon], { icon, pane: "pins", interactive: false, keyboard: false }).addTo(map);
  });
  return () => {
    for (const marker of markers) marker.remove();
  };
}
