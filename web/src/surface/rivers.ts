// Rivers as lines whose width follows their flow; lines off the sheet are passed over.
import type { WorldLine } from "../core/lines.ts";
import { riverWidthPx } from "../core/rivers.ts";
import type { Scene } from "../core/scene.ts";
import { tracePath } from "./path.ts";
import type { Paint, Placement } from "./sheet.ts";
import type { Tones } from "./tones.ts";

const CASING_PX = 1.6;
const GROWTH_PER_ZOOM = 0.22;

export function paintRivers(scene: Scene, tones: Tones, fitZoom: () => number): Paint {
  const flows = scene.reaches.mean_flow_m3s;
  const largest = Math.max(...flows, 0);
  const widths = scene.riverLines.map((line) => riverWidthPx(flows[line.row] ?? 0, largest));
  const thinFirst = scene.riverLines.map((_, i) => i);
  thinFirst.sort((a, b) => (widths[a] ?? 0) - (widths[b] ?? 0));

  return (pen, at) => {
    const growth = Math.max(0.8, 1 + GROWTH_PER_ZOOM * (at.zoom - fitZoom()));
    const seen = thinFirst.filter((i) => isOn(scene.riverLines[i], at));
    pen.lineCap = "round";
    pen.lineJoin = "round";
    stroke(pen, at, seen, tones.waterCasing, (width) => width * growth + 2 * CASING_PX);
    stroke(pen, at, seen, tones.water, (width) => width * growth);
  };

  function stroke(
    pen: CanvasRenderingContext2D,
    at: Placement,
    lines: readonly number[],
    tone: string,
    widthOf: (width: number) => number,
  ): void {
    pen.strokeStyle = tone;
    for (const i of lines) {
      const line = scene.riverLines[i];
      if (!line) continue;
      pen.lineWidth = widthOf(widths[i] ?? 1);
      pen.beginPath();
      tracePath(pen, line, at);
      pen.stroke();
    }
  }
}

function isOn(line: WorldLine | undefined, at: Placement): boolean {
  return (
    line !== undefined &&
    line.east >= at.west &&
    line.west <= at.east &&
    line.south >= at.north &&
    line.north <= at.south
  );
}
