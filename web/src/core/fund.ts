// What does the list by score buy? Committed offtakes first, then those in order of rank whose cost
// still fits. The same additions in the same order as the service, so both buy the same.
import type { Candidates } from "./candidates.ts";

export const NOT_FUNDABLE = 0;
export const ELIGIBLE = 1;
export const COMMITTED = 2;

const EQUAL = 1e-9;

export interface Bought {
  /** 1 for each row inside the money. */
  readonly inside: Uint8Array;
  readonly spent: number;
  readonly insideCount: number;
  /** Eligible offtakes whose cost no longer fitted. */
  readonly passedOver: number;
  /** By how much the committed ones alone exceed the budget; 0 where there is a set. */
  readonly shortBy: number;
  /** What was spent when each eligible row's turn came; NaN for the others. */
  readonly spentBefore: Float64Array;
}

export function fundByScore(of: Candidates, order: Int32Array, budget: number): Bought {
  const inside = new Uint8Array(of.count);
  const spentBefore = new Float64Array(of.count).fill(NaN);
  let spent = costOf(of.committedRows, of.fundCost);
  if (!fits(spent, budget)) spent = costOf(of.committedRows, of.fundCostLeast);
  if (!fits(spent, budget)) {
    return { inside, spent: 0, insideCount: 0, passedOver: 0, shortBy: spent - budget, spentBefore };
  }
  for (const row of of.committedRows) inside[row] = 1;
  let insideCount = of.committedRows.length;
  let passedOver = 0;
  for (const row of order) {
    if (of.fundState[row] !== ELIGIBLE) continue;
    const cost = of.fundCost[row] ?? NaN;
    if (Number.isNaN(cost)) continue; // a private quote: this viewer's list goes without it
    spentBefore[row] = spent;
    if (fits(spent + cost, budget)) {
      inside[row] = 1;
      insideCount += 1;
      spent += cost;
    } else {
      passedOver += 1;
    }
  }
  return { inside, spent, insideCount, passedOver, shortBy: 0, spentBefore };
}

export function fits(cost: number, budget: number): boolean {
  return cost <= budget * (1 + EQUAL);
}

export function costOf(rows: Int32Array, costs: Float64Array): number {
  let total = 0;
  for (const row of rows) total += costs[row] ?? 0;
  return total;
}
