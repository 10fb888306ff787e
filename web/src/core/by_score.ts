// Who is inside the money by score? Everyone's score and rank, what the list buys, and its close calls.
import type { Candidates } from "./candidates.ts";
import { closeByScore, type Turn } from "./close_calls.ts";
import { type Bought, fundByScore, NOT_FUNDABLE } from "./fund.ts";
import { CLOSE_IN, CLOSE_OUT, DASH, FILLED, HAND_IN, HAND_OUT, RING } from "./marks.ts";
import { ordered, placesOf, scores } from "./rank.ts";
import type { TrialState } from "./trial.ts";

export interface Outcome {
  /** Rows, first to last. */
  readonly order: Int32Array;
  /** Rank of each row, from 1. */
  readonly rank: Int32Array;
  /** Whole billionths by row. */
  readonly score: Int32Array;
  readonly inside: Uint8Array;
  /** How each row is drawn, in list, map and legend alike. */
  readonly marks: Uint8Array;
  /** Null where this viewer may not see costs: then there is no budget line. */
  readonly spent: number | null;
  readonly insideCount: number;
  /** By score, at least this share of the loss: what each gains alone; together they gain more. */
  readonly avoidedShare: number;
  readonly passedOver: number;
  readonly shortBy: number;
  /** Offtakes left out because what they cost is not this viewer's to see. */
  readonly privateCosts: number;
  /** Null until they are worked out. */
  readonly closeCount: number | null;
}

export interface ByScore extends Outcome {
  readonly bought: Bought | null;
  /** Close calls by row, with what turns them. */
  readonly close: ReadonlyMap<number, Turn>;
}

export function workOut(of: Candidates, trial: TrialState): ByScore {
  const given = of.partlyHidden && of.names.every((name) => trial.weights[name] === of.given.weights[name]);
  const weights = of.names.map((name) => trial.weights[name] ?? 0);
  const score = given ? of.given.score : scores(of.values, weights, of.count);
  const order = given ? of.given.order : ordered(score, of.tieRows);
  const ranked = { order, rank: placesOf(order, 1), score };
  if (!of.seesCosts || trial.budget === null) {
    const none = { spent: null, insideCount: 0, avoidedShare: 0, passedOver: 0, shortBy: 0, privateCosts: 0, closeCount: 0, bought: null, close: new Map<number, Turn>() };
    return { ...ranked, ...none, inside: new Uint8Array(of.count), marks: new Uint8Array(of.count).fill(FILLED) };
  }
  const bought = fundByScore(of, order, trial.budget);
  const { inside, spent, insideCount, passedOver, shortBy } = bought;
  return {
    ...ranked, inside, spent, insideCount, passedOver, shortBy, bought,
    close: new Map(),
    marks: marksOf(of, inside, NOBODY, NOBODY),
    avoidedShare: shareOf(inside, of.gainShare),
    privateCosts: of.privateCosts,
    closeCount: null,
  };
}

/** The same with its close calls: as much work again as each weight moved twice. */
export function withCloseCalls(of: Candidates, trial: TrialState, now: ByScore): ByScore {
  if (!now.bought || trial.budget === null) return now;
  const close = closeByScore(of, trial.weights, now.bought, trial.budget);
  return { ...now, close, closeCount: close.size, marks: marksOf(of, now.inside, close, NOBODY) };
}

/** Sum of the shares of those inside. */
export function shareOf(inside: Uint8Array, shares: ArrayLike<number>): number {
  let sum = 0;
  for (let row = 0; row < inside.length; row += 1) if (inside[row]) sum += shares[row] ?? 0;
  return sum;
}

export interface Rows {
  has(row: number): boolean;
}
const NOBODY: Rows = new Set<number>();

export function marksOf(of: Candidates, inside: Uint8Array, close: Rows, byHand: Rows): Uint8Array {
  return inside.map((within, row) => {
    if (byHand.has(row)) return within ? HAND_IN : HAND_OUT;
    if (!within && of.fundState[row] === NOT_FUNDABLE) return DASH;
    if (close.has(row)) return within ? CLOSE_IN : CLOSE_OUT;
    return within ? FILLED : RING;
  });
}
