// The small sign of an offtake: its shape says whether it is inside the money, its fill the risk.
import { DASH, FILLED, RING } from "../core/marks.ts";

const SHAPES: Readonly<Record<number, string>> = { [RING]: "disc-ring", [FILLED]: "disc-filled", [DASH]: "disc-dash" };
const WORDS: Readonly<Record<number, string>> = {
  [RING]: "outside the budget",
  [FILLED]: "inside the budget",
  [DASH]: "built or not in this round",
};

export function signClass(mark: number, step: number): string {
  return `disc ${SHAPES[mark] ?? ""} risk-${step + 1}`;
}

export function markWords(mark: number): string {
  return WORDS[mark] ?? "";
}
