// Asks for the why and the routes of the offtake on show, one at a time: the one before is given up.
import { AskError } from "../wire/ask.ts";
import { fetchRoutes, fetchWhy, type Routes, type Why } from "../wire/why.ts";

export interface WhyAnswers {
  readonly why: Why | "waiting" | { readonly failed: string };
  readonly routes: Routes | "waiting" | "failed";
}

export const WAITING: WhyAnswers = { why: "waiting", routes: "waiting" };

/** While one leafs through the list, nothing is asked for what is passed over. */
const LEAFING_MS = 140;

export class Asking {
  readonly #as: string;
  readonly #hear: (answers: WhyAnswers) => void;
  #abort = new AbortController();
  #timer: ReturnType<typeof setTimeout> | undefined;
  #answers = WAITING;

  constructor(as: string, hear: (answers: WhyAnswers) => void) {
    this.#as = as;
    this.#hear = hear;
  }

  ask(offtakeId: string, leafing: boolean): void {
    this.stop();
    this.#answers = WAITING;
    this.#abort = new AbortController();
    const { signal } = this.#abort;
    this.#timer = setTimeout(() => this.#send(offtakeId, signal), leafing ? LEAFING_MS : 0);
  }

  stop(): void {
    clearTimeout(this.#timer);
    this.#abort.abort();
  }

  #send(offtakeId: string, signal: AbortSignal): void {
    fetchWhy(offtakeId, this.#as, signal).then(
      (why) => this.#tell({ why }, signal),
      (error: unknown) => {
        const failed = error instanceof AskError ? error.message : "The answer cannot be read.";
        this.#tell({ why: { failed } }, signal);
      },
    );
    fetchRoutes(offtakeId, this.#as, signal).then(
      (routes) => this.#tell({ routes }, signal),
      () => this.#tell({ routes: "failed" }, signal),
    );
  }

  #tell(news: Partial<WhyAnswers>, signal: AbortSignal): void {
    if (signal.aborted) return;
    this.#answers = { ...this.#answers, ...news };
    this.#hear(this.#answers);
  }
}
