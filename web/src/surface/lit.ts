// Reaches lit for one offtake: where its drifters come from stands between two bold lines, where they
// would have settled is beaded with dots; so the two are told apart in black alone.
import type { WorldLine } from "../core/lines.ts";
import { riverWidthPx } from "../core/rivers.ts";
import type { Scene } from "../core/scene.ts";
import { tracePath } from "./path.ts";
import type { Paint, Placement } from "./sheet.ts";
import type { Tones } from "./tones.ts";

const LEAST_CASING_PX = 1.2;
const MOST_CASING_PX = 4;
const DOT_PX = 3.6;
const GAP_PX = 1.2;
/** A reach of less than this part of the largest share is left dark, so that the map stays calm. */
const LEAST_PART = 0.005;

/** Shares by reach row; 0 is not lit. */
export interface Lit {
  readonly from: Float32Array | null;
  readonly to: Float32Array | null;
}

export function paintLit(
  scene: Scene,
  lines: () => readonly WorldLine[],
  tones: () => Tones,
  lit: () => Lit,
): Paint {
  const flows = scene.reaches.mean_flow_m3s;
  const largest = Math.max(...flows, 0);

  return (pen, at) => {
    const { from, to } = lit();
    const { litFrom, litTo, water, paper } = tones();
    pen.lineJoin = "round";
    if (from) {
      pen.lineCap = "round";
      each(from, (line, width, casing) => stroke(pen, at, line, litFrom, width + 2 * GAP_PX + 2 * casing));
      each(from, (line, width) => stroke(pen, at, line, paper, width + 2 * GAP_PX));
      each(from, (line, width) => stroke(pen, at, line, water, width));
    }
    if (to) {
      each(to, (line, width, casing) => {
        const dot = Math.max(DOT_PX, width + 2 * GAP_PX + casing);
        pen.lineCap = "round";
        pen.setLineDash([0, 1.75 * dot]);
        stroke(pen, at, line, paper, dot + 2 * GAP_PX);
        stroke(pen, at, line, litTo, dot);
        pen.setLineDash([]);
        pen.lineCap = "butt";
      });
    }
  };

  /** Every lit line with its width and that of its casing, which grows with the share. */
  function each(shares: Float32Array, draw: (line: number, width: number, casing: number) => void): void {
    const most = shares.reduce((top, share) => Math.max(top, share), 0);
    lines().forEach(({ row }, line) => {
      const share = shares[row] ?? 0;
      if (!(share > LEAST_PART * most)) return;
      const casing = LEAST_CASING_PX + ((MOST_CASING_PX - LEAST_CASING_PX) * share) / most;
      draw(line, tones().riverScale * riverWidthPx(flows[row] ?? 0, largest), casing);
    });
  }

  function stroke(pen: CanvasRenderingContext2D, at: Placement, line: number, tone: string, width: number): void {
    const traced = lines()[line];
    if (!traced) return;
    pen.beginPath();
    tracePath(pen, traced, at);
    pen.strokeStyle = tone;
    pen.lineWidth = width;
    pen.stroke();
  }
}
