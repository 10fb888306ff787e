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
  const shares = [best.upper_share, ...others.map((each) => each.benefit_share)].flat();
  const shareStep = roundStep(Math.max(...shares, 0.001), 5);
  const top = Math.ceil(Math.max(...shares, 0.001) / shareStep) * shareStep;
  const xOf = (budget: number): number => field.left + (field.width * budget) / most;
  const yOf = (share: number): number => field.top + field.height * (1 - share / top);
  const points = (of: readonly number[]): string[] => budgets.map((budget, i) => `${xOf(budget).toFixed(1)} ${yOf(of[i] ?? 0).toFixed(1)}`);
  const path = (of: readonly number[]): string => `M${points(of).join("L")}`;
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

/** A curve's value at a budget: between two budgets by their distance. */
export function valueAt(budgets: readonly number[], values: readonly number[], budget: number): number {
  const after = budgets.findIndex((each) => each >= budget);
  const [last, first] = [values.length - 1, budgets[0] ?? 0];
  if (after < 0) return values[last] ?? 0;
  if (after === 0) return first > 0 ? ((values[0] ?? 0) * budget) / first : (values[0] ?? 0);
  const [low, high] = [budgets[after - 1] ?? 0, budgets[after] ?? 0];
  const part = high > low ? (budget - low) / (high - low) : 0;
  return (values[after - 1] ?? 0) * (1 - part) + (values[after] ?? 0) * part;
}
