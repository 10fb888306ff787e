// How an offtake is drawn: its shape says whether it is inside the money, its fill how risky it is.
import { riskStep } from "./risk.ts";
import type { Scene } from "./scene.ts";

export const RING = 0;
export const FILLED = 1;
export const DASH = 2;
export const MARKS = 3;

export interface Drawn {
  /** Mark of each offtake row. */
  readonly marks: Uint8Array;
  /** Risk step of each offtake row, 0..4. */
  readonly steps: Uint8Array;
  /** Offtake rows, the highest ranked first and drawn on top. */
  readonly byRank: ArrayLike<number>;
}

/** As long as nothing is said about money: all filled, steps and order as the catchment has them. */
export function drawnAtFirst({ offtakes, byRank }: Scene): Drawn {
  return {
    marks: new Uint8Array(offtakes.count).fill(FILLED),
    steps: Uint8Array.from({ length: offtakes.count }, (_, row) => riskStep(offtakes.risk[row] ?? 0)),
    byRank,
  };
}
