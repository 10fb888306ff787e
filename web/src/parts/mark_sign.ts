// The small sign of an offtake: its shape says whether it is inside the money, a close call, chosen by
// hand; its fill the risk.
import { CLOSE_IN, CLOSE_OUT, DASH, FILLED, HAND_IN, HAND_OUT, markClass, RING } from "../core/marks.ts";

const WORDS: Readonly<Record<number, string>> = {
  [RING]: "outside the budget",
  [FILLED]: "inside the budget",
  [DASH]: "built or not in this round",
  [CLOSE_OUT]: "outside the budget, a close call",
  [CLOSE_IN]: "inside the budget, a close call",
  [HAND_OUT]: "outside the budget, chosen by hand",
  [HAND_IN]: "inside the budget, chosen by hand",
};

export function signClass(mark: number, step: number): string {
  return `disc ${markClass(mark)} risk-${step + 1}`;
}

export function markWords(mark: number): string {
  return WORDS[mark] ?? "";
}
