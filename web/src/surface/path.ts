// One line of world coordinates as a path on the sheet.
import type { WorldLine } from "../core/lines.ts";
import type { Placement } from "./sheet.ts";

export function tracePath(pen: CanvasRenderingContext2D, line: WorldLine, at: Placement): void {
  const { xy } = line;
  for (let i = 0; i < xy.length; i += 2) {
    const x = (xy[i] ?? 0) * at.size + at.offsetX;
    const y = (xy[i + 1] ?? 0) * at.size + at.offsetY;
    if (i === 0) pen.moveTo(x, y);
    else pen.lineTo(x, y);
  }
}
