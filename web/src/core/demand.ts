// An answer that is only worked out when someone wants it: kept, and stale once the question is another.
import type { Dispose } from "./dispose.ts";
import type { LongWork, WorkNow } from "./long_work.ts";

export interface DemandNow<Answer> {
  readonly answer: Answer | null;
  readonly stale: boolean;
  readonly work: WorkNow<Answer>;
}

export class Demand<Asked, Answer> {
  #asked: Asked | null = null;
  #underway = "";
  #of = "";
  #answer: Answer | null = null;
  readonly #work: LongWork<Asked, Answer>;
  readonly #key: (asked: Asked) => string;
  readonly #listeners = new Set<() => void>();
  readonly dispose: Dispose;

  /** Questions with the same key have the same answer. */
  constructor(work: LongWork<Asked, Answer>, key: (asked: Asked) => string) {
    [this.#work, this.#key] = [work, key];
    const stop = work.onChange(({ answer }) => {
      if (answer) [this.#answer, this.#of] = [answer, this.#underway];
      this.#tell();
    });
    this.dispose = () => {
      stop();
      work.drop();
    };
  }

  get now(): DemandNow<Answer> {
    const stale = this.#asked === null || this.#key(this.#asked) !== this.#of;
    return { answer: this.#answer, stale, work: this.#work.now };
  }

  onChange(hear: () => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  /** The question as it stands now; work on another one is given up. */
  consider(asked: Asked): void {
    const same = this.#asked !== null && this.#key(asked) === this.#key(this.#asked);
    this.#asked = asked;
    if (same) return;
    if (this.#underway !== this.#key(asked)) this.#work.drop();
    this.#tell();
  }

  ask(): void {
    if (this.#asked === null) return;
    this.#underway = this.#key(this.#asked);
    this.#work.ask(this.#asked);
  }

  stop(): void {
    this.#work.stop();
  }

  #tell(): void {
    for (const hear of [...this.#listeners]) hear();
  }
}
