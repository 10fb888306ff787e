// What would bring an offtake into the list by score, or keep it there? Exact, for the present weights.
import type { Candidates } from "./candidates.ts";
import { type Bought, costOf, ELIGIBLE, fits, fundByScore } from "./fund.ts";

const MOST_STEPS = 5000;

export interface ScoreEntry {
  readonly inside: boolean;
  /** Least budget above this one under which it is funded; null where it is inside already. */
  readonly leastBudget: number | null;
  /** Highest cost at this budget at which it is funded, its rank as it is; null where none is. */
  readonly highestCost: number | null;
}

/** Null where it is committed, not to be funded or its cost is not seen. */
export function entryByScore(of: Candidates, order: Int32Array, row: number, bought: Bought, budget: number): ScoreEntry | null {
  const cost = of.fundCost[row] ?? NaN;
  if (of.fundState[row] !== ELIGIBLE || Number.isNaN(cost)) return null;
  const left = budget - (bought.spentBefore[row] ?? NaN);
  const inside = bought.inside[row] === 1;
  return {
    inside,
    leastBudget: inside ? null : leastAbove(of, order, row, bought, budget),
    highestCost: left > 0 ? left : null,
  };
}

/**
 * Raises the budget step by step: as long as no offtake up to this one is bought anew, what is left for
 * it grows with the budget; where one is, the list is gone through again.
 */
function leastAbove(of: Candidates, order: Int32Array, row: number, asked: Bought, budget: number): number | null {
  let [bought, now] = [asked, budget];
  for (let step = 0; step < MOST_STEPS; step += 1) {
    now = Math.max(now + short(of, order, row, bought, now), now * (1 + 1e-12));
    bought = fundByScore(of, order, now);
    if (bought.inside[row]) return whole(of, order, row, now);
  }
  return null;
}

/** The least money more that buys something up to the offtake, or pays accepted ones in full. */
function short(of: Candidates, order: Int32Array, row: number, { inside, spentBefore, shortBy }: Bought, budget: number): number {
  if (shortBy > 0) return shortBy;
  const usual = costOf(of.committedRows, of.fundCost);
  let least = fits(usual, budget) ? Infinity : usual - budget;
  for (const before of order) {
    const lacks = (spentBefore[before] ?? NaN) + (of.fundCost[before] ?? NaN) - budget;
    if (!inside[before] && lacks < least) least = lacks;
    if (before === row) break;
  }
  return least;
}

/** In whole money where that funds it as well; a little more where the sum's last place decides. */
function whole(of: Candidates, order: Int32Array, row: number, budget: number): number {
  const tried = [Math.ceil(budget), budget, budget * (1 + 1e-12), budget * (1 + 1e-9)];
  return tried.find((each) => fundByScore(of, order, each).inside[row] === 1) ?? budget;
}
