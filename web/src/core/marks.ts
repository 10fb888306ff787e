// How an offtake is drawn: its shape says whether it is inside the money, whether that is a close call
// and whether it was chosen by hand; its fill how risky it is. A full one is inside, a hollow one
// outside; a dot in the middle is a close call; a square was chosen by hand.
import { riskStep } from "./risk.ts";
import type { Scene } from "./scene.ts";

export const RING = 0;
export const FILLED = 1;
export const DASH = 2;
export const CLOSE_OUT = 3;
export const CLOSE_IN = 4;
export const HAND_OUT = 5;
export const HAND_IN = 6;
export const MARKS = 7;

const CLASSES = ["ring", "filled", "dash", "close-out", "close-in", "hand-out", "hand-in"] as const;

/** The class that draws a mark as a page element. */
export function markClass(mark: number): string {
  return `disc-${CLASSES[mark] ?? CLASSES[RING]}`;
}

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
