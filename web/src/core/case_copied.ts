// Which case is what is tried a copy of? The one the page was opened on, until the trial is saved as a new
// one: from then on it is that.
import type { CaseTold } from "../wire/cases.ts";
import type { Dispose } from "./dispose.ts";

export class CaseCopied {
  now: CaseTold | null = null;
  readonly #listeners = new Set<(made: CaseTold) => void>();

  onSaved(hear: (made: CaseTold) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  saved(made: CaseTold): void {
    this.now = made;
    for (const hear of [...this.#listeners]) hear(made);
  }
}

/** Of this page: it is opened on one case, or on none. */
export const caseCopied = new CaseCopied();
