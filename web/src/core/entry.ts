// What would bring an offtake into the list by score, or keep it there? Exact, for the present weights.
import type { Candidates } from "./candidates.ts";
import { type Bought, costOf, ELIGIBLE, fundByScore } from "./fund.ts";

export interface ScoreEntry {
  readonly inside: boolean;
  /** Least budget under which it is funded; at a larger one it may be passed over again. */
  readonly leastBudget: number;
  /** Highest cost at this budget at which it is funded, its rank as it is; null where none is. */
  readonly highestCost: number | null;
}

/** Null where it is committed, not to be funded or its cost is not seen. */
export function entryByScore(of: Candidates, order: Int32Array, row: number, bought: Bought, budget: number): ScoreEntry | null {
  const cost = of.fundCost[row] ?? NaN;
  if (of.fundState[row] !== ELIGIBLE || Number.isNaN(cost)) return null;
  const left = budget - (bought.spentBefore[row] ?? NaN);
  return {
    inside: bought.inside[row] === 1,
    leastBudget: leastBudget(of, order, row),
    highestCost: left > 0 ? left : null,
  };
}

/**
 * Walks back from the offtake: with `left` needed after a dearer one before it, that one is passed over
 * and nothing changes; one that would fit is bought, so its cost is needed too.
 */
function leastBudget(of: Candidates, order: Int32Array, row: number): number {
  let left = of.fundCost[row] ?? NaN;
  for (let place = order.indexOf(row) - 1; place >= 0; place -= 1) {
    const before = order[place] ?? 0;
    const cost = of.fundCost[before] ?? NaN;
    if (of.fundState[before] === ELIGIBLE && cost <= left) left += cost;
  }
  const [usual, least] = [costOf(of.committedRows, of.fundCost), costOf(of.committedRows, of.fundCostLeast)];
  return whole(of, order, row, least + left < usual ? least + left : usual + left);
}

/** In whole money where that funds it as well; a little more where the sum's last place decides. */
function whole(of: Candidates, order: Int32Array, row: number, budget: number): number {
  const tried = [Math.ceil(budget), budget, budget * (1 + 1e-12), budget * (1 + 1e-9)];
  return tried.find((each) => fundByScore(of, order, each).inside[row] === 1) ?? budget;
}
