// What comes of a trial: everyone's score and rank, and who is inside the money under the way shown.
import type { BestSet, FundAsked } from "../wire/fund.ts";
import { askedOf } from "./asked.ts";
import type { BestFunding, BestNow } from "./best_funding.ts";
import type { Candidates } from "./candidates.ts";
import { closeByScore, type Turn } from "./close_calls.ts";
import { type Dispose, together } from "./dispose.ts";
import { type Bought, fundByScore, NOT_FUNDABLE } from "./fund.ts";
import { CLOSE_IN, CLOSE_OUT, DASH, FILLED, HAND_IN, HAND_OUT, RING } from "./marks.ts";
import { ordered, placesOf, scores } from "./rank.ts";
import { sameConditions, sameDecision, type Trial, type TrialState, type Way } from "./trial.ts";

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

/** What is shown under the way chosen, with what is known of the other. */
export interface Shown extends Outcome {
  readonly way: Way;
  readonly byScore: ByScore;
  /** Members under the other way; null where they are not known. */
  readonly other: Uint8Array | null;
  /** The set is of another question than the one now asked. */
  readonly stale: boolean;
  /** The best set in force or, by score, the one it is compared with. */
  readonly best: BestSet | null;
  readonly asking: BestNow | null;
  /** The question as it stands now. */
  readonly asked: FundAsked;
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
  const close = closeByScore(of, trial.weights, bought, trial.budget);
  const { inside, spent, insideCount, passedOver, shortBy } = bought;
  return {
    ...ranked, inside, spent, insideCount, passedOver, shortBy, bought, close,
    marks: marksOf(of, inside, close, NOBODY),
    avoidedShare: shareOf(inside, of.gainShare),
    privateCosts: of.privateCosts,
    closeCount: close.size,
  };
}

/** Sum of the shares of those inside. */
export function shareOf(inside: Uint8Array, shares: ArrayLike<number>): number {
  let sum = 0;
  for (let row = 0; row < inside.length; row += 1) if (inside[row]) sum += shares[row] ?? 0;
  return sum;
}

interface Rows {
  has(row: number): boolean;
}
const NOBODY: Rows = new Set<number>();

function marksOf(of: Candidates, inside: Uint8Array, close: Rows, byHand: Rows): Uint8Array {
  return inside.map((within, row) => {
    if (byHand.has(row)) return within ? HAND_IN : HAND_OUT;
    if (!within && of.fundState[row] === NOT_FUNDABLE) return DASH;
    if (close.has(row)) return within ? CLOSE_IN : CLOSE_OUT;
    return within ? FILLED : RING;
  });
}

/** The outcome of the trial as it stands now, worked out anew in the moment something moves it. */
export class LiveOutcome {
  #now: Shown;
  #byScore: ByScore;
  #asked: FundAsked;
  readonly #of: Candidates;
  readonly #trial: Trial;
  readonly #best: BestFunding | null;
  readonly #rowOf: ReadonlyMap<string, number>;
  readonly #listeners = new Set<(now: Shown) => void>();
  readonly dispose: Dispose;

  /** `codes` by row, to know whom hand choices mean. */
  constructor(of: Candidates, trial: Trial, best: BestFunding | null = null, codes: readonly string[] = []) {
    [this.#of, this.#trial, this.#best] = [of, trial, best];
    this.#rowOf = new Map(codes.map((code, row) => [code, row]));
    this.#byScore = workOut(of, trial.now);
    this.#asked = this.#question();
    this.#consider();
    this.#now = this.#compose();
    this.dispose = together([
      trial.onChange((now, before) => {
        const decided = sameDecision(now, before);
        if (decided && sameConditions(now, before)) return;
        if (!decided) this.#byScore = workOut(of, now);
        this.#asked = this.#question();
        if (best) this.#consider();
        else this.#tell();
      }),
      best?.onChange(() => this.#tell()) ?? (() => undefined),
    ]);
  }

  get now(): Shown {
    return this.#now;
  }

  onChange(hear: (now: Shown) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  #question(): FundAsked {
    const { inside } = this.#byScore;
    return askedOf(this.#trial.now, [...inside.keys()].filter((row) => inside[row]));
  }

  #consider(): void {
    this.#best?.consider(this.#asked, this.#trial.now.way === "best");
  }

  #tell(): void {
    this.#now = this.#compose();
    for (const hear of [...this.#listeners]) hear(this.#now);
  }

  #compose(): Shown {
    const [byScore, asking] = [this.#byScore, this.#best?.now ?? null];
    const answer = asking?.answer ?? null;
    if (this.#trial.now.way === "score" || !asking) {
      const known = asking && !asking.stale ? answer : null;
      return { ...byScore, way: "score", byScore, stale: false, asking, asked: this.#asked, best: known, other: known && this.#inside(known) };
    }
    const inside = answer ? this.#inside(answer) : new Uint8Array(this.#of.count);
    const close = new Set(answer?.close_calls?.map(({ row }) => row));
    return {
      ...byScore, way: "best", byScore, inside, asking, asked: this.#asked, best: answer,
      marks: marksOf(this.#of, inside, close, this.#byHand()),
      spent: answer?.spent ?? 0,
      insideCount: answer?.rows.length ?? 0,
      avoidedShare: answer?.benefit_share ?? 0,
      closeCount: answer?.close_calls?.length ?? null,
      passedOver: 0, shortBy: 0, privateCosts: 0,
      other: byScore.inside,
      stale: asking.stale,
    };
  }

  #inside({ rows }: BestSet): Uint8Array {
    const inside = new Uint8Array(this.#of.count);
    for (const row of rows) inside[row] = 1;
    return inside;
  }

  #byHand(): Rows {
    const { keptIn, leftOut } = this.#trial.now;
    const codes = [...Object.keys(keptIn), ...Object.keys(leftOut)];
    return new Set(codes.map((code) => this.#rowOf.get(code) ?? -1));
  }
}
