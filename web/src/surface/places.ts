// Towns by name, larger ones in larger letters, each name on the side where it covers fewest discs.
import * as L from "leaflet";
import type { Dispose } from "../core/dispose.ts";
import { sidesWithRoom } from "../core/labels.ts";
import { fromSteps } from "../core/lines.ts";
import { degrees } from "../core/mercator.ts";
import type { Scene } from "../core/scene.ts";
import { stepPx } from "../core/side_by_side.ts";
import type { Places } from "../wire/contract.ts";

/** Dots lie in a pane below the discs, names in one above them. */
export function mountPlaces(
  map: L.Map,
  panes: { readonly dots: string; readonly names: string },
  places: Places,
  scene: Scene,
  radiusPx: () => number,
): Dispose {
  const [lon, lat] = [fromSteps(places.lon), fromSteps(places.lat)];
  const labels = places.name.map((name, i) => {
    const weight = places.size[i] ?? 1;
    const at = L.latLng(degrees(lat[i] ?? 0), degrees(lon[i] ?? 0));
    const dot = document.createElement("span");
    dot.className = "place-dot";
    const label = document.createElement("span");
    label.className = `place-name place-size-${weight}`;
    label.textContent = name;
    const markers = [sign(at, dot, panes.dots), sign(at, label, panes.names)];
    for (const marker of markers) marker.addTo(map);
    return { at, label, markers, weight };
  });

  const settle = (): void => {
    const names = labels.map(({ at, label, weight }) => {
      const { x, y } = map.latLngToLayerPoint(at);
      return { x, y, width: label.offsetWidth, height: label.offsetHeight, weight };
    });
    const radius = radiusPx();
    const corner = map.containerPointToLayerPoint([0, 0]);
    const size = map.getSize();
    const view = { left: corner.x, top: corner.y, right: corner.x + size.x, bottom: corner.y + size.y };
    sidesWithRoom(names, discCentres(map, scene, radius), radius, view).forEach((side, i) => {
      const label = labels[i]?.label;
      if (label) label.dataset["side"] = side ?? "none";
    });
  };
  map.on("zoomend viewreset resize", settle);
  settle();
  return () => {
    map.off("zoomend viewreset resize", settle);
    for (const { markers } of labels) for (const marker of markers) marker.remove();
  };
}

function sign(at: L.LatLng, body: HTMLElement, pane: string): L.Marker {
  const icon = L.divIcon({ className: "place", html: body, iconSize: [0, 0] });
  return L.marker(at, { icon, pane, interactive: false, keyboard: false });
}

/** Layer points of the offtakes as they are drawn, x, y, x, y, ... */
function discCentres(map: L.Map, { offtakeXY, offtakeAside }: Scene, radius: number): Float64Array {
  const size = map.options.crs?.scale(map.getZoom()) ?? 1;
  const origin = map.getPixelOrigin();
  const step = stepPx(radius);
  return offtakeXY.map((value, i) => value * size - (i % 2 ? origin.y : origin.x) + (offtakeAside[i] ?? 0) * step);
}
