// Offtakes as discs filled by risk step on one sheet, the highest ranked on top; and which disc is
// under the pointer.
import * as L from "leaflet";
import type { Dispose } from "../core/dispose.ts";
import { discRadiusPx } from "../core/discs.ts";
import { type Chosen, NONE } from "../core/chosen.ts";
import { riskStep } from "../core/risk.ts";
import type { Scene } from "../core/scene.ts";
import { type Placement, Sheet } from "./sheet.ts";
import type { Tones } from "./tones.ts";

const REACH_OF_MOUSE_PX = 4;
const REACH_OF_FINGER_PX = 16;

export function mountDiscs(
  map: L.Map,
  paneName: string,
  scene: Scene,
  tones: Tones,
  chosen: Chosen,
  fitZoom: () => number,
): Dispose {
  const { offtakes, byRank, offtakeXY } = scene;
  let radius = discRadiusPx(0, map.getSize().x);

  const sheet = new Sheet(paneName, (pen, at) => {
    radius = discRadiusPx(at.zoom - fitZoom(), map.getSize().x);
    for (let place = byRank.length - 1; place >= 0; place -= 1) {
      const row = byRank[place] ?? 0;
      drawDisc(pen, at, row);
    }
  });

  function drawDisc(pen: CanvasRenderingContext2D, at: Placement, row: number): void {
    const x = (offtakeXY[2 * row] ?? 0) * at.size + at.offsetX;
    const y = (offtakeXY[2 * row + 1] ?? 0) * at.size + at.offsetY;
    pen.beginPath();
    pen.arc(x, y, radius + 1.4, 0, 2 * Math.PI);
    pen.fillStyle = tones.discHalo;
    pen.fill();
    pen.beginPath();
    pen.arc(x, y, radius, 0, 2 * Math.PI);
    pen.fillStyle = tones.risk[riskStep(offtakes.risk[row] ?? 0)] ?? "";
    pen.fill();
    pen.lineWidth = 1.2;
    pen.strokeStyle = tones.discEdge;
    pen.stroke();
  }

  function under(point: L.Point, reachPx: number): number {
    const size = map.options.crs?.scale(map.getZoom()) ?? 1;
    const origin = map.getPixelOrigin();
    const at = map.containerPointToLayerPoint(point).add(origin);
    let nearest = NONE;
    let least = (radius + reachPx) ** 2;
    for (const row of byRank) {
      const dx = (offtakeXY[2 * row] ?? 0) * size - at.x;
      const dy = (offtakeXY[2 * row + 1] ?? 0) * size - at.y;
      const distance = dx * dx + dy * dy;
      if (distance < least) {
        least = distance;
        nearest = row;
      }
    }
    return nearest;
  }

  const point = (event: L.LeafletMouseEvent): void => {
    const row = under(event.containerPoint, REACH_OF_MOUSE_PX);
    map.getContainer().classList.toggle("over-disc", row !== NONE);
    chosen.hover(row, "map");
  };
  const leave = (): void => chosen.hover(NONE, "map");
  const pick = (event: L.LeafletMouseEvent): void => {
    const finger = (event.originalEvent as PointerEvent).pointerType === "touch";
    chosen.select(under(event.containerPoint, finger ? REACH_OF_FINGER_PX : REACH_OF_MOUSE_PX), "map");
  };

  sheet.addTo(map);
  map.on("mousemove", point).on("mouseout", leave).on("click", pick);
  return () => {
    map.off("mousemove", point).off("mouseout", leave).off("click", pick);
    sheet.remove();
  };
}
