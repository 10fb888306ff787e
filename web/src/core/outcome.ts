// What comes of a trial: everyone's score and rank, and who is inside the money by score.
import type { Candidates } from "./candidates.ts";
import type { Dispose } from "./dispose.ts";
import { fundByScore, NOT_FUNDABLE } from "./fund.ts";
import { ordered, placesOf, scores } from "./rank.ts";
import { sameDecision, type Trial, type TrialState } from "./trial.ts";

/** Signs of an offtake in list, map and legend alike. */
export const OUTSIDE = 0;
export const INSIDE = 1;
export const NOT_IN_ROUND = 2;

export interface Outcome {
  /** Rows, first to last. */
  readonly order: Int32Array;
  /** Rank of each row, from 1. */
  readonly rank: Int32Array;
  /** Whole billionths by row. */
  readonly score: Int32Array;
  readonly inside: Uint8Array;
  /** OUTSIDE, INSIDE or NOT_IN_ROUND by row. */
  readonly marks: Uint8Array;
  /** Null where this viewer may not see costs: then there is no budget line. */
  readonly spent: number | null;
  readonly insideCount: number;
  /** At least this share of the loss is avoided: what each gains alone; together they gain more. */
  readonly avoidedShare: number;
  readonly passedOver: number;
  readonly shortBy: number;
  /** Offtakes left out because what they cost is not this viewer's to see. */
  readonly privateCosts: number;
}

export function workOut(of: Candidates, trial: TrialState): Outcome {
  const given = of.partlyHidden && of.names.every((name) => trial.weights[name] === of.given.weights[name]);
  const weights = of.names.map((name) => trial.weights[name] ?? 0);
  const score = given ? of.given.score : scores(of.values, weights, of.count);
  const order = given ? of.given.order : ordered(score, of.tieRows);
  const rank = placesOf(order, 1);
  if (!of.seesCosts || trial.budget === null) {
    const none = { inside: new Uint8Array(of.count), spent: null, insideCount: 0, avoidedShare: 0, passedOver: 0, shortBy: 0, privateCosts: 0 };
    return { order, rank, score, marks: new Uint8Array(of.count).fill(INSIDE), ...none };
  }
  const bought = fundByScore(of, order, trial.budget);
  return { order, rank, score, marks: marksOf(of, bought.inside), ...bought, avoidedShare: shareOf(bought.inside, of.gainShare), privateCosts: of.privateCosts };
}

/** Sum of the shares of those inside. */
export function shareOf(inside: Uint8Array, shares: ArrayLike<number>): number {
  let sum = 0;
  for (let row = 0; row < inside.length; row += 1) if (inside[row]) sum += shares[row] ?? 0;
  return sum;
}

function marksOf(of: Candidates, inside: Uint8Array): Uint8Array {
  return inside.map((within, row) => {
    if (within) return INSIDE;
    return of.fundState[row] === NOT_FUNDABLE ? NOT_IN_ROUND : OUTSIDE;
  });
}

/** The outcome of the trial as it stands now, worked out anew in the moment weights or budget move. */
export class LiveOutcome {
  #now: Outcome;
  readonly #listeners = new Set<(now: Outcome) => void>();
  readonly dispose: Dispose;

  constructor(of: Candidates, trial: Trial) {
    this.#now = workOut(of, trial.now);
    this.dispose = trial.onChange((now, before) => {
      if (sameDecision(now, before)) return;
      this.#now = workOut(of, now);
      for (const hear of [...this.#listeners]) hear(this.#now);
    });
  }

  get now(): Outcome {
    return this.#now;
  }

  onChange(hear: (now: Outcome) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }
}
