// What is being tried just now: weights, budget, and how numbers are shown. One small immutable
// state that list, map, head and panels share. Weights and budget move the order and the list by score;
// budget, hand choices and conditions move the best set; the rest moves neither.
import type { Essentials } from "../wire/catchment.ts";
import type { Dispose } from "./dispose.ts";
import type { Unit } from "./units.ts";
import { type Weights, weightsOf, withWeight } from "./weights.ts";

export type Year = "mean" | "dry" | "median" | "wet";
export type Theme = "light" | "projector";
/** The two ways to spend a budget; one is shown at a time. */
export type Way = "score" | "best";
/** Written reasons by code. */
export type Reasons = Readonly<Record<string, string>>;
/** Shares of the budget by district, 0..1. */
export type Shares = Readonly<Record<string, number>>;

/** Stands for every guild together. */
export const ALL_GUILDS = "all";

export interface TrialState {
  /** Whole thousandths by criterion, summing to 1000. */
  readonly weights: Weights;
  /** Null where this viewer may not see costs. */
  readonly budget: number | null;
  readonly way: Way;
  /** Chosen by hand; these and the conditions below hold for the best set alone. */
  readonly keptIn: Reasons;
  readonly leftOut: Reasons;
  readonly districtLeast: Shares;
  readonly districtMost: Shares;
  /** Null for any number. */
  readonly mostInstalls: number | null;
  readonly unit: Unit;
  readonly year: Year;
  readonly guild: string;
  readonly theme: Theme;
  /** The list shows in how many trials each is inside, in place of the capacity. */
  readonly trialsListed: boolean;
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

/** Nothing chosen by hand, no condition but the budget. */
export const UNCONDITIONED = {
  keptIn: {},
  leftOut: {},
  districtLeast: {},
  districtMost: {},
  mostInstalls: null,
} as const satisfies Partial<TrialState>;

/** Whether order and list by score are the same for both. */
export function sameDecision(a: TrialState, b: TrialState): boolean {
  return a.budget === b.budget && isSame(a.weights, b.weights);
}

/** Whether the same way is shown, under the same hand choices and conditions. */
export function sameConditions(a: TrialState, b: TrialState): boolean {
  const names = ["way", "keptIn", "leftOut", "districtLeast", "districtMost", "mostInstalls"] as const;
  return names.every((name) => isSame(a[name], b[name]));
}

function isSame(a: TrialState[keyof TrialState], b: TrialState[keyof TrialState]): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || !a || !b) return false;
  const [one, other] = [Object.entries(a), new Map(Object.entries(b))];
  return one.length === other.size && one.every(([name, value]) => other.get(name) === value);
}

/** Where a trial starts: the catchment's own weights, as far as this viewer sees what they weigh. */
export function startOf({ facts, offtakes }: Essentials): TrialState {
  const seen = Object.keys(facts.weights).filter((name) => offtakes.criteria[name] !== undefined);
  return {
    weights: weightsOf(facts.weights, seen),
    budget: offtakes.fund_cost ? (facts.budget_hint ?? 0) : null,
    way: "score",
    ...UNCONDITIONED,
    unit: "ML/d",
    year: "mean",
    guild: ALL_GUILDS,
    theme: "light",
    trialsListed: false,
  };
}
