// What is being tried just now: weights, budget, and how numbers are shown. One small immutable
// state that list, map, head and panels share; only weights and budget move the order and the set.
import type { Essentials } from "../wire/catchment.ts";
import type { Dispose } from "./dispose.ts";
import type { Unit } from "./units.ts";
import { type Weights, weightsOf, withWeight } from "./weights.ts";

export type Year = "mean" | "dry" | "median" | "wet";
export type Theme = "light" | "projector";

/** Stands for every guild together. */
export const ALL_GUILDS = "all";

export interface TrialState {
  /** Whole thousandths by criterion, summing to 1000. */
  readonly weights: Weights;
  /** Null where this viewer may not see costs. */
  readonly budget: number | null;
  readonly unit: Unit;
  readonly year: Year;
  readonly guild: string;
  readonly theme: Theme;
}

export type HearTrial = (now: TrialState, before: TrialState) => void;

export class Trial {
  readonly start: TrialState;
  #now: TrialState;
  /** The weight last moved, and all weights as they were before it was first moved. */
  #moving: { readonly name: string; readonly from: Weights } | null = null;
  readonly #listeners = new Set<HearTrial>();

  constructor(start: TrialState) {
    this.start = start;
    this.#now = start;
  }

  get now(): TrialState {
    return this.#now;
  }

  change(part: Partial<TrialState>): void {
    if (part.weights) this.#moving = null;
    this.#take(part);
  }

  /**
   * Sets one weight; the others share what is left in the proportion they had before this weight
   * was first moved, so that where one arrives does not depend on the way there.
   */
  weigh(name: string, thousandths: number): void {
    if (this.#moving?.name !== name) this.#moving = { name, from: this.#now.weights };
    this.#take({ weights: withWeight(this.#moving.from, name, thousandths) });
  }

  onChange(hear: HearTrial): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  #take(part: Partial<TrialState>): void {
    const before = this.#now;
    const next = { ...before, ...part };
    const keys = Object.keys(part) as (keyof TrialState)[];
    if (keys.every((key) => isSame(next[key], before[key]))) return;
    this.#now = next;
    for (const hear of [...this.#listeners]) hear(next, before);
  }
}

/** Whether order and set are the same for both: only what is shown may differ. */
export function sameDecision(a: TrialState, b: TrialState): boolean {
  return a.budget === b.budget && isSame(a.weights, b.weights);
}

function isSame(a: TrialState[keyof TrialState], b: TrialState[keyof TrialState]): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || !a || !b) return false;
  const names = Object.keys(a);
  return names.length === Object.keys(b).length && names.every((name) => a[name] === b[name]);
}

/** Where a trial starts: the catchment's own weights, as far as this viewer sees what they weigh. */
export function startOf({ facts, offtakes }: Essentials): TrialState {
  const seen = Object.keys(facts.weights).filter((name) => offtakes.criteria[name] !== undefined);
  return {
    weights: weightsOf(facts.weights, seen),
    budget: offtakes.fund_cost ? (facts.budget_hint ?? 0) : null,
    unit: "ML/d",
    year: "mean",
    guild: ALL_GUILDS,
    theme: "light",
  };
}
