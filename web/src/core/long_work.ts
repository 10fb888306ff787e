// One piece of long work as the page follows it: begun, its progress and first answers heard, given up
// when another is asked for, stopped when told.
import type { Clash } from "../wire/ask.ts";
import type { Work, WorkCalls } from "../wire/work.ts";
import type { Dispose } from "./dispose.ts";

export interface Trouble {
  readonly message: string;
  /** Of the service's refusal; 0 where the work itself failed or no answer came. */
  readonly status: number;
  readonly clash: readonly Clash[];
}

export interface WorkNow<Answer> {
  readonly state: "idle" | "working" | "done" | "stopped" | "failed";
  readonly done: number;
  readonly total: number;
  readonly answer: Answer | null;
  readonly trouble: Trouble | null;
}

const IDLE = { state: "idle", done: 0, total: 0, answer: null, trouble: null } as const;
const BEGUN = { ...IDLE, state: "working" } as const;
const PAUSE_MS = 120;

export class LongWork<Asked, Answer> {
  #now: WorkNow<Answer> = IDLE;
  #id: string | null = null;
  #asking: AbortController | null = null;
  readonly #calls: WorkCalls<Asked, Answer>;
  readonly #listeners = new Set<(now: WorkNow<Answer>) => void>();

  constructor(calls: WorkCalls<Asked, Answer>) {
    this.#calls = calls;
  }

  get now(): WorkNow<Answer> {
    return this.#now;
  }

  onChange(hear: (now: WorkNow<Answer>) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  ask(asked: Asked): void {
    this.#giveUp();
    this.#asking = new AbortController();
    this.#tell(BEGUN);
    void this.#follow(asked, this.#asking.signal);
  }

  /** What is known stays; that it was stopped is told at once. */
  stop(): void {
    if (this.#now.state !== "working") return;
    this.#giveUp();
    this.#tell({ ...this.#now, state: "stopped" });
  }

  /** Gives up what runs and forgets what came. */
  drop(): void {
    this.#giveUp();
    if (this.#now.state !== "idle") this.#tell(IDLE);
  }

  async #follow(asked: Asked, signal: AbortSignal): Promise<void> {
    try {
      let work = await this.#calls.begin(asked);
      if (signal.aborted) {
        this.#end(work.id);
        return;
      }
      this.#id = work.id;
      for (;;) {
        this.#tell(heard(work));
        if (work.state !== "working") break;
        await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
        if (signal.aborted) return;
        work = await this.#calls.read(work.id, signal);
        if (signal.aborted) return;
      }
      this.#id = null;
    } catch (error) {
      if (!signal.aborted) this.#tell({ ...this.#now, state: "failed", trouble: troubleOf(error) });
    }
  }

  #giveUp(): void {
    this.#asking?.abort();
    this.#asking = null;
    if (this.#id !== null) this.#end(this.#id);
    this.#id = null;
  }

  #end(id: string): void {
    this.#calls.stop(id).catch(() => undefined); // gone already: nothing is left to stop
  }

  #tell(now: WorkNow<Answer>): void {
    this.#now = now;
    for (const hear of [...this.#listeners]) hear(now);
  }
}

function heard<Answer>({ state, done, total, answer, error }: Work<Answer>): WorkNow<Answer> {
  const trouble = error ? { message: error.message, status: 0, clash: error.clash ?? [] } : null;
  return { state, done, total, answer, trouble };
}

function troubleOf(error: unknown): Trouble {
  const told = error as Partial<Trouble> | null;
  return { message: told?.message ?? "The answer cannot be read.", status: told?.status ?? 0, clash: told?.clash ?? [] };
}
