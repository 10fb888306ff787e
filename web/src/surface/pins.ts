// The pointed-at and the selected offtake as real page elements: a ring with the code beside it, its disc
// above all others.
import * as L from "leaflet";
import type { Dispose } from "../core/dispose.ts";
import { type Choice, type Chosen, NONE } from "../core/chosen.ts";
import { signRadius } from "../core/discs.ts";
import { degrees } from "../core/mercator.ts";
import { DASH, type Drawn, markClass, RING } from "../core/marks.ts";
import type { Scene } from "../core/scene.ts";
import { stepPx } from "../core/side_by_side.ts";

export interface Pins {
  readonly dispose: Dispose;
  /** Shows the same offtakes as they are drawn now. */
  readonly refresh: () => void;
}

export function mountPins(
  map: L.Map,
  paneName: string,
  scene: Scene,
  chosen: Chosen,
  drawn: () => Drawn,
  radiusPx: () => number,
): Pins {
  const selected = makePin("pin pin-selected", paneName);
  const hovered = makePin("pin pin-hovered", paneName);

  const show = (now: Choice): void => {
    selected.show(now.selected);
    hovered.show(now.hovered === now.selected ? NONE : now.hovered);
  };
  const stop = chosen.onChange(show);
  const again = (): void => show(chosen.now);
  map.on("zoomend", again);
  again();
  return {
    dispose: () => {
      stop();
      map.off("zoomend", again);
      selected.marker.remove();
      hovered.marker.remove();
    },
    refresh: again,
  };

  function makePin(className: string, pane: string): { marker: L.Marker; show: (row: number) => void } {
    const body = document.createElement("span");
    const disc = document.createElement("span");
    const code = document.createElement("span");
    code.className = "pin-code";
    body.append(disc, code);
    body.className = "pin-ring";
    const icon = L.divIcon({ className, html: body, iconSize: [0, 0] });
    const marker = L.marker([0, 0], { icon, pane, interactive: false, keyboard: false });
    return {
      marker,
      show: (row) => {
        if (row === NONE) {
          marker.remove();
          return;
        }
        const { offtakes } = scene;
        const { marks, steps } = drawn();
        const mark = marks[row] ?? RING;
        const radius = signRadius(mark, radiusPx());
        disc.className = `disc ${markClass(mark)} risk-${(steps[row] ?? 0) + 1}`;
        disc.style.width = `${2 * radius + 1}px`;
        disc.style.height = `${(mark === DASH ? 1 : 2) * radius + 1}px`;
        code.textContent = offtakes.offtake_id[row] ?? "";
        const step = stepPx(radiusPx());
        const [x, y] = [scene.offtakeAside[2 * row] ?? 0, scene.offtakeAside[2 * row + 1] ?? 0];
        body.style.translate = `${x * step}px ${y * step}px`;
        marker.setLatLng([degrees(offtakes.lat[row] ?? 0), degrees(offtakes.lon[row] ?? 0)]);
        marker.addTo(map);
      },
    };
  }
}
