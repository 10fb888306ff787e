// The curve of benefit against budget as lines on a field, and what it says at one budget.
import type { Curve } from "../wire/fund.ts";
import { roundStep } from "./dials.ts";

export interface Field {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

export interface CurveShape {
  /** Paths of the best set, of its bound and of the other orders. */
  readonly best: string;
  readonly bound: string;
  /** Between what the best set reaches and the bound. */
  readonly between: string;
  readonly others: readonly string[];
  readonly budgetMarks: readonly number[];
  readonly shareMarks: readonly number[];
  readonly xOf: (budget: number) => number;
  readonly yOf: (share: number) => number;
  readonly budgetAt: (x: number) => number;
}

export function curveShape({ budgets, best, others }: Curve, field: Field): CurveShape {
  const most = Math.max(...budgets, 1);
  const highest = Math.max(...best.upper_share, 0.001);
  const shareStep = roundStep(highest, 5);
  const top = Math.ceil(highest / shareStep) * shareStep;
  const xOf = (budget: number): number => field.left + (field.width * budget) / most;
  const yOf = (share: number): number => field.top + field.height * (1 - share / top);
  const points = (of: Values): string[] =>
    known(budgets, of).map(([budget, share]) => `${xOf(budget).toFixed(1)} ${yOf(share).toFixed(1)}`);
  const path = (of: Values): string => `M${points(of).join("L")}`;
  return {
    best: path(best.benefit_share),
    bound: path(best.upper_share),
    between: `${path(best.benefit_share)}L${points(best.upper_share).reverse().join("L")}Z`,
    others: others.map((each) => path(each.benefit_share)),
    budgetMarks: marks(most, roundStep(most, Math.max(2, Math.floor(field.width / 90)))),
    shareMarks: marks(top, shareStep),
    xOf,
    yOf,
    budgetAt: (x) => Math.min(most, Math.max(0, (most * (x - field.left)) / field.width)),
  };
}

function marks(most: number, step: number): number[] {
  return Array.from({ length: Math.floor(most / step + 1e-9) + 1 }, (_, i) => i * step);
}

type Values = readonly (number | null)[];

/** Budgets and values, where there are values. */
function known(budgets: readonly number[], values: Values): (readonly [number, number])[] {
  return budgets.flatMap((budget, i) => (values[i] == null ? [] : [[budget, values[i]] as const]));
}

/** A curve's value at a budget: between two budgets by their distance, below the first from nothing. */
export function valueAt(budgets: readonly number[], values: Values, budget: number): number {
  let low: readonly [number, number] = [0, 0];
  for (const high of known(budgets, values)) {
    if (high[0] >= budget) {
      const part = high[0] > low[0] ? (budget - low[0]) / (high[0] - low[0]) : 1;
      return low[1] * (1 - part) + high[1] * part;
    }
    low = high;
  }
  return low[1];
}
