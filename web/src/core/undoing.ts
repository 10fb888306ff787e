// Takes back what was tried and puts it forth again. Whoever keeps the steps is told of every one.
import type { Dispose } from "./dispose.ts";
import { begun, canRedo, canUndo, differenceWords, redone, standing, stepOf, stepped, type Steps, undone } from "./history.ts";
import type { Trial } from "./trial.ts";

export class Undoing {
  #steps: Steps;
  readonly #trial: Trial;
  readonly #listeners = new Set<(steps: Steps) => void>();
  readonly dispose: Dispose;

  /** `kept` are the steps of before a reload; what is tried now comes after them. */
  constructor(trial: Trial, kept: Steps | null = null) {
    this.#trial = trial;
    const now = stepOf(trial.now);
    this.#steps = kept ? stepped(kept, now, false) : begun(now);
    this.dispose = trial.onChange((next, before, going) => {
      const after = stepped(this.#steps, stepOf(next), going);
      if (after !== this.#steps || next.held !== before.held) this.#stand(after);
    });
  }

  get steps(): Steps {
    return this.#steps;
  }

  get canUndo(): boolean {
    return canUndo(this.#steps) && !this.#trial.now.held;
  }

  get canRedo(): boolean {
    return canRedo(this.#steps) && !this.#trial.now.held;
  }

  /** Says what was taken back; "" where there was nothing. `going` while the key is held. */
  undo(going = false): string {
    return this.canUndo ? this.#go(undone(this.#steps), going) : "";
  }

  redo(going = false): string {
    return this.canRedo ? this.#go(redone(this.#steps), going) : "";
  }

  onChange(hear: (steps: Steps) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  #go(steps: Steps, going: boolean): string {
    const words = differenceWords(standing(this.#steps), standing(steps));
    this.#stand(steps);
    this.#trial.change(standing(steps), going);
    return words;
  }

  #stand(steps: Steps): void {
    this.#steps = steps;
    for (const hear of [...this.#listeners]) hear(steps);
  }
}
