// What is being tried just now: weights, budget, and how numbers are shown. One small immutable
// state that list, map, head and panels share. Weights and budget move the order and the list by score;
// budget, hand choices and conditions move the best set; the rest moves neither.
import type { Essentials } from "../wire/catchment.ts";
import type { Dispose } from "./dispose.ts";
import type { Unit } from "./units.ts";
import { type Weights, weightsOf, withWeight } from "./weights.ts";

export type Year = "mean" | "dry" | "median" | "wet";
export type Theme = "light" | "projector";
export type Tab = "list" | "money";
/** The two ways to spend a budget; one is shown at a time. */
export type Way = "score" | "best";
/** Written reasons by code. */
export type Reasons = Readonly<Record<string, string>>;
/** Shares of the budget by district, 0..1. */
export type Shares = Readonly<Record<string, number>>;

/** Codes of offtakes that are funded all or none. */
export type Groups = readonly (readonly string[])[];

/** Stands for every guild together. */
export const ALL_GUILDS = "all";

export interface TrialState {
  /** Whole thousandths by criterion, summing to 1000. */
  readonly weights: Weights;
  /** Null where this viewer may not see costs. */
  readonly budget: number | null;
  readonly way: Way;
  /**
   * Chosen by hand; these and the conditions below hold for the best set alone. A choice whose reason is
   * empty came with a link: it waits, and counts nowhere, until a reason is written.
   */
  readonly keptIn: Reasons;
  readonly leftOut: Reasons;
  readonly districtLeast: Shares;
  readonly districtMost: Shares;
  /** Null for any number. */
  readonly mostInstalls: number | null;
  readonly together: Groups;
  readonly unit: Unit;
  readonly year: Year;
  readonly guild: string;
  readonly theme: Theme;
  readonly tab: Tab;
  /** The list shows in how many trials each is inside, in place of the capacity. */
  readonly trialsListed: boolean;
  /** A case is shown as it was saved: what decides does not move until this is taken off. */
  readonly held: boolean;
}

/** What moves order, list by score or best set. */
export const DECIDING = [
  "weights", "budget", "way", "keptIn", "leftOut", "districtLeast", "districtMost", "mostInstalls", "together",
] as const satisfies readonly (keyof TrialState)[];

/** `going`: one movement with the change before, as a slider that is dragged. */
export type HearTrial = (now: TrialState, before: TrialState, going: boolean) => void;

export class Trial {
  #start: TrialState;
  #now: TrialState;
  /** The weight last moved, and all weights as they were before it was first moved. */
  #moving: { readonly name: string; readonly from: Weights } | null = null;
  readonly #listeners = new Set<HearTrial>();

  /** `start` is where starting again leads to, `now` what is tried at first. */
  constructor(start: TrialState, now: TrialState = start) {
    [this.#start, this.#now] = [start, now];
  }

  /** Where starting again leads to. */
  get start(): TrialState {
    return this.#start;
  }

  startFrom(start: TrialState): void {
    this.#start = start;
  }

  get now(): TrialState {
    return this.#now;
  }

  change(part: Partial<TrialState>, going = false): void {
    if (part.weights) this.#moving = null;
    this.#take(part, going);
  }

  /**
   * Sets one weight; the others share what is left in the proportion they had before this weight
   * was first moved, so that where one arrives does not depend on the way there.
   */
  weigh(name: string, thousandths: number, going = false): void {
    if (this.#moving?.name !== name) this.#moving = { name, from: this.#now.weights };
    this.#take({ weights: withWeight(this.#moving.from, name, thousandths) }, going);
  }

  onChange(hear: HearTrial): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  #take(part: Partial<TrialState>, going: boolean): void {
    const before = this.#now;
    const keys = Object.keys(part) as (keyof TrialState)[];
    const holds = before.held && part.held !== false;
    const moved = keys.filter((key) => !isSame(part[key], before[key]) && !(holds && isDeciding(key)));
    if (!moved.length) return;
    this.#now = { ...before, ...Object.fromEntries(moved.map((key) => [key, part[key]])) };
    for (const hear of [...this.#listeners]) hear(this.#now, before, going);
  }
}

function isDeciding(key: keyof TrialState): boolean {
  return (DECIDING as readonly (keyof TrialState)[]).includes(key);
}

/** Nothing chosen by hand, no condition but the budget. */
export const UNCONDITIONED = {
  keptIn: {},
  leftOut: {},
  districtLeast: {},
  districtMost: {},
  mostInstalls: null,
  together: [],
} as const satisfies Partial<TrialState>;

/** How numbers are shown at first. */
export const SHOWN_AT_FIRST = {
  unit: "ML/d",
  year: "mean",
  guild: ALL_GUILDS,
  theme: "light",
  tab: "list",
  trialsListed: false,
  held: false,
} as const satisfies Partial<TrialState>;

/** Whether order and list by score are the same for both. */
export function sameDecision(a: TrialState, b: TrialState): boolean {
  return a.budget === b.budget && isSame(a.weights, b.weights);
}

/** Whether the same way is shown, under the same hand choices and conditions. */
export function sameConditions(a: TrialState, b: TrialState): boolean {
  return DECIDING.slice(2).every((name) => isSame(a[name], b[name]));
}

/** Equal all the way down; in which order names stand does not matter. */
export function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || !a || !b) return false;
  const [one, other] = [Object.entries(a), new Map<string, unknown>(Object.entries(b))];
  return one.length === other.size && one.every(([name, value]) => other.has(name) && isSame(value, other.get(name)));
}

/** The same choices, with reasons that are known where they have none. */
export function withReasons(choices: Reasons, known: Reasons): Reasons {
  return Object.fromEntries(Object.entries(choices).map(([code, reason]) => [code, reason || (known[code] ?? "")]));
}

/** Hand choices that count: those with a reason. */
export function reasoned(choices: Reasons): Reasons {
  return Object.fromEntries(Object.entries(choices).filter(([, reason]) => reason !== ""));
}

/** Where a trial starts: the catchment's own weights, as far as this viewer sees what they weigh. */
export function startOf({ facts, offtakes }: Essentials): TrialState {
  const seen = Object.keys(facts.weights).filter((name) => offtakes.criteria[name] !== undefined);
  return {
    weights: weightsOf(facts.weights, seen),
    budget: offtakes.fund_cost ? (facts.budget_hint ?? 0) : null,
    way: "score",
    ...UNCONDITIONED,
    ...SHOWN_AT_FIRST,
  };
}
