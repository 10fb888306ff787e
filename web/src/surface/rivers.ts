// Rivers as lines whose width follows their flow, the same at every zoom; the smallest are left out
// while much is in view, so that a large catchment stays readable.
import { BoxGrid } from "../core/box_grid.ts";
import type { WorldLine } from "../core/lines.ts";
import { leastFlowDrawn, riverWidthPx } from "../core/rivers.ts";
import type { Scene } from "../core/scene.ts";
import { tracePath } from "./path.ts";
import type { Paint, Placement } from "./sheet.ts";
import type { Tones } from "./tones.ts";

const CASING_PX = 1.6;
const OVERHANG_PX = 8;

export function paintRivers(scene: Scene, lines: readonly WorldLine[], tones: () => Tones): Paint {
  const flows = scene.reaches.mean_flow_m3s;
  const largest = flows.reduce((most, flow) => Math.max(most, flow), 0);
  const flowOf = (i: number): number => flows[lines[i]?.row ?? -1] ?? 0;
  const grid = new BoxGrid(lines);
  const leastFlow = leastFlowDrawn(lines, flows);

  return (pen, at) => {
    const over = OVERHANG_PX / at.size;
    const box = { west: at.west - over, north: at.north - over, east: at.east + over, south: at.south + over };
    const least = leastFlow(at.size);
    const seen = grid.touching(box).filter((i) => flowOf(i) >= least);
    seen.sort((a, b) => flowOf(a) - flowOf(b));
    pen.lineCap = "round";
    pen.lineJoin = "round";
    stroke(pen, at, seen, tones().waterCasing, 2 * CASING_PX);
    stroke(pen, at, seen, tones().water, 0);
  };

  function stroke(
    pen: CanvasRenderingContext2D,
    at: Placement,
    seen: readonly number[],
    tone: string,
    wider: number,
  ): void {
    pen.strokeStyle = tone;
    for (const i of seen) {
      const line = lines[i];
      if (!line) continue;
      pen.lineWidth = tones().riverScale * riverWidthPx(flowOf(i), largest) + wider;
      pen.beginPath();
      tracePath(pen, line, at);
      pen.stroke();
    }
  }
}
