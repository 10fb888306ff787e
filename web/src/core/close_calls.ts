// Whose place by score hangs by a little? Inside under one and outside under another of: each weight up
// or down by 0.05, the others in their proportion; the site's own cost up or down by a tenth, its rank
// as it is.
import type { Candidates } from "./candidates.ts";
import { type Bought, ELIGIBLE, fits, fundByScore } from "./fund.ts";
import { ordered, scores } from "./rank.ts";
import { type Weights, WHOLE, withWeight } from "./weights.ts";

/** What turns it: a criterion's weight by thousandths, or the site's cost by a share. */
export interface Turn {
  readonly criterion: string | null;
  readonly by: number;
}

const WEIGHT_STEP = WHOLE / 20;
const COST_STEP = 0.1;

export function closeByScore(of: Candidates, weights: Weights, bought: Bought, budget: number): Map<number, Turn> {
  const close = new Map<number, Turn>();
  if (bought.shortBy > 0) return close;
  const turn = (row: number, by: Turn): void => {
    if (!close.has(row)) close.set(row, by);
  };
  for (let row = 0; row < of.count; row += 1) {
    if (of.fundState[row] !== ELIGIBLE) continue;
    const [before, cost] = [bought.spentBefore[row] ?? NaN, of.fundCost[row] ?? NaN];
    const by = bought.inside[row] ? COST_STEP : -COST_STEP;
    const stays = fits(before + cost * (1 + by), budget) === Boolean(bought.inside[row]);
    if (!Number.isNaN(before + cost) && !stays) turn(row, { criterion: null, by });
  }
  if (of.partlyHidden || of.names.length < 2) return close;
  for (const criterion of of.names) {
    for (const by of [WEIGHT_STEP, -WEIGHT_STEP]) {
      const other = insideWith(of, withWeight(weights, criterion, (weights[criterion] ?? 0) + by), budget);
      other.forEach((within, row) => {
        if (within !== bought.inside[row]) turn(row, { criterion, by });
      });
    }
  }
  return close;
}

function insideWith(of: Candidates, weights: Weights, budget: number): Uint8Array {
  const score = scores(of.values, of.names.map((name) => weights[name] ?? 0), of.count);
  return fundByScore(of, ordered(score, of.tieRows), budget).inside;
}
