// Offtakes on the map, the highest ranked on top; and which one is under the pointer.
import * as L from "leaflet";
import type { Dispose } from "../core/dispose.ts";
import { discRadiusPx } from "../core/discs.ts";
import { type Chosen, NONE } from "../core/chosen.ts";
import type { Drawn } from "../core/marks.ts";
import type { Scene } from "../core/scene.ts";
import { stepPx } from "../core/side_by_side.ts";
import { DotBuffer } from "./dot_buffer.ts";
import { type Placement, Sheet } from "./sheet.ts";
import { makeStamps, stampReach, type Stamps } from "./stamps.ts";
import type { Tones } from "./tones.ts";

const REACH_OF_MOUSE_PX = 4;
const REACH_OF_FINGER_PX = 16;

export interface Discs {
  readonly dispose: Dispose;
  /** Draws the same places in other marks, colours or order. */
  readonly paint: (drawn: Drawn) => void;
  /** Takes other tones. */
  readonly retone: (tones: Tones) => void;
}

export function mountDiscs(
  map: L.Map,
  paneName: string,
  scene: Scene,
  firstTones: Tones,
  chosen: Chosen,
  fitZoom: () => number,
): Discs {
  const { offtakeXY, offtakeAside, offtakes } = scene;
  let tones = firstTones;
  let drawn: Drawn | null = null; // nothing is drawn before it is known how
  let buffer: DotBuffer | null = null;
  let stamps: Stamps | null = null;
  let cutFor = "";
  let at: Placement | null = null;
  let pen: CanvasRenderingContext2D | null = null;

  const sheet = new Sheet(paneName, (sheetPen, placement) => {
    [pen, at] = [sheetPen, placement];
    const { width, height } = sheetPen.canvas;
    const { ratio } = placement;
    const radius = tones.signScale * discRadiusPx(placement.zoom - fitZoom(), map.getSize().x);
    const reach = stampReach(radius, ratio);
    if (!buffer?.fits(width, height, reach)) buffer = new DotBuffer(width, height, reach, offtakes.count);
    const now = `${radius} ${ratio} ${buffer.stride}`;
    if (!stamps || now !== cutFor) stamps = makeStamps(tones, radius, ratio, buffer.stride);
    cutFor = now;
    buffer.place(offtakeXY, placement.size * ratio, placement.offsetX * ratio, placement.offsetY * ratio, offtakeAside, stepPx(radius) * ratio);
    write();
  });

  function write(): void {
    if (!drawn || !buffer || !stamps || !pen) return;
    buffer.stamp(drawn, stamps);
    buffer.show(pen);
  }

  function under(point: L.Point, reachPx: number): number {
    if (!buffer || !at) return NONE;
    const { x, y } = map.containerPointToLayerPoint(point).add(map.getPixelOrigin());
    const [onX, onY] = [(x + at.offsetX) * at.ratio, (y + at.offsetY) * at.ratio];
    return buffer.rowAt(onX, onY, Math.round(reachPx * at.ratio));
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
  return {
    dispose: () => {
      map.off("mousemove", point).off("mouseout", leave).off("click", pick);
      sheet.remove();
    },
    paint: (next) => {
      drawn = next;
      write();
    },
    retone: (next) => {
      tones = next;
      stamps = null;
      sheet.repaint();
    },
  };
}
