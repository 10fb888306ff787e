// What comes of a trial: everyone's score and rank, and who is inside the money under the way shown.
import type { BestSet, FundAsked } from "../wire/fund.ts";
import { askedOf } from "./asked.ts";
import type { BestFunding, BestNow } from "./best_funding.ts";
import { type ByScore, marksOf, type Outcome, type Rows, withCloseCalls, workOut } from "./by_score.ts";
import type { Candidates } from "./candidates.ts";
import { type Dispose, together } from "./dispose.ts";
import { reasoned, sameConditions, sameDecision, type Trial, type Way } from "./trial.ts";

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

/** So many offtakes have their close calls in the same frame; more have them once things rest. */
const AT_ONCE = 3000;
const REST_MS = 150;

/** The outcome of the trial as it stands now, worked out anew in the moment something moves it. */
export class LiveOutcome {
  #now: Shown;
  #byScore: ByScore;
  #asked: FundAsked;
  #timer: ReturnType<typeof setTimeout> | undefined;
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
    this.#byScore = this.#workOut();
    this.#asked = this.#question();
    this.#consider();
    this.#now = this.#compose();
    this.dispose = together([
      trial.onChange((now, before) => {
        const decided = sameDecision(now, before);
        if (decided && sameConditions(now, before) && now.held === before.held) return;
        if (!decided) this.#byScore = this.#workOut();
        this.#asked = this.#question();
        if (best) this.#consider();
        else this.#tell();
      }),
      best?.onChange(() => this.#tell()) ?? (() => undefined),
      () => clearTimeout(this.#timer),
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

  #workOut(): ByScore {
    clearTimeout(this.#timer);
    const trial = this.#trial.now;
    const now = workOut(this.#of, trial);
    if (this.#of.count <= AT_ONCE) return withCloseCalls(this.#of, trial, now);
    this.#timer = setTimeout(() => {
      this.#byScore = withCloseCalls(this.#of, trial, now);
      this.#tell();
    }, REST_MS);
    return now;
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
    const codes = Object.keys({ ...reasoned(keptIn), ...reasoned(leftOut) });
    return new Set(codes.map((code) => this.#rowOf.get(code) ?? -1));
  }
}
