// The best set as far as it is known: the last answer, which question it answers, and whether that is
// still the question. Until another answer has come, the one before stands and is stale.
import type { BestSet, FundAsked } from "../wire/fund.ts";
import { besideKey, setKey } from "./asked.ts";
import { type Dispose, together } from "./dispose.ts";
import type { LongWork, WorkNow } from "./long_work.ts";

export interface BestNow {
  readonly answer: BestSet | null;
  /** What was asked for the answer. */
  readonly of: FundAsked | null;
  /** The answer is to another question. */
  readonly stale: boolean;
  /** What it says of the list by score is of another list. */
  readonly besideStale: boolean;
  /** Being asked, or about to be. */
  readonly looking: boolean;
  readonly work: WorkNow<BestSet>;
}

/** A slider that is dragged asks once it rests. */
const REST_MS = 250;

export class BestFunding {
  #asked: FundAsked | null = null;
  #wanted = false;
  #underway: FundAsked | null = null;
  #answer: BestSet | null = null;
  #of: FundAsked | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #work: LongWork<FundAsked, BestSet>;
  readonly #listeners = new Set<(now: BestNow) => void>();
  readonly dispose: Dispose;

  constructor(work: LongWork<FundAsked, BestSet>) {
    this.#work = work;
    const stop = work.onChange(({ answer, state }) => {
      if (answer) [this.#answer, this.#of] = [answer, this.#underway];
      if (state === "done") this.#followUp();
      this.#tell();
    });
    this.dispose = together([() => this.#work.drop(), () => clearTimeout(this.#timer), stop]);
  }

  get now(): BestNow {
    const stale = !this.#asked || !this.#of || setKey(this.#asked) !== setKey(this.#of);
    return {
      answer: this.#answer,
      of: this.#of,
      stale,
      besideStale: stale || !this.#asked || !this.#of || besideKey(this.#asked) !== besideKey(this.#of),
      looking: this.#timer !== undefined || this.#work.now.state === "working",
      work: this.#work.now,
    };
  }

  onChange(hear: (now: BestNow) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  /**
   * The question as it stands now; it is sent only while the best set is `wanted`. A search for the same
   * set goes on, also if the list by score beside it has moved: that is asked after it.
   */
  consider(asked: FundAsked, wanted: boolean): void {
    [this.#asked, this.#wanted] = [asked, wanted];
    this.#rest();
    if (!this.#underway || setKey(this.#underway) !== setKey(asked)) {
      this.#underway = null;
      this.#work.drop();
    }
    if (!this.#underway || this.#work.now.state === "done") this.#followUp();
    this.#tell();
  }

  /** Asks soon for what is not known yet. */
  #followUp(): void {
    const { stale, besideStale } = this.now;
    if (!this.#wanted || !(stale || besideStale)) return;
    this.#rest();
    this.#timer = setTimeout(() => this.again(), this.#answer ? REST_MS : 0);
  }

  /** Asks at once, also after it was stopped or failed. */
  again(): void {
    this.#rest();
    if (!this.#asked) return;
    this.#underway = this.#asked;
    this.#work.ask(this.#asked);
  }

  stop(): void {
    const resting = this.#timer !== undefined;
    this.#rest();
    if (resting) this.#tell();
    this.#work.stop();
  }

  #rest(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }

  #tell(): void {
    const { now } = this;
    for (const hear of [...this.#listeners]) hear(now);
  }
}
