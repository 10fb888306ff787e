// One line of world coordinates as a path on the sheet; points that would fall on the one before are
// passed over.
import type { WorldLine } from "../core/lines.ts";
import type { Placement } from "./sheet.ts";

const STEP_PX = 0.7;

export function tracePath(pen: CanvasRenderingContext2D, line: WorldLine, at: Placement): void {
  const { xy } = line;
  const last = xy.length - 2;
  let [beforeX, beforeY] = [0, 0];
  for (let i = 0; i <= last; i += 2) {
    const x = (xy[i] as number) * at.size + at.offsetX;
    const y = (xy[i + 1] as number) * at.size + at.offsetY;
    if (i === 0) {
      pen.moveTo(x, y);
    } else if (i === last || Math.abs(x - beforeX) + Math.abs(y - beforeY) >= STEP_PX) {
      pen.lineTo(x, y);
    } else continue;
    [beforeX, beforeY] = [x, y];
  }
}
