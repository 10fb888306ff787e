// Which offtake is pointed at, and which is selected? One small state that list and map share.
import type { Dispose } from "./dispose.ts";

export const NONE = -1;
export type Origin = "list" | "map" | "card" | "search";

export interface Choice {
  readonly hovered: number;
  readonly selected: number;
  /** Where the last change came from. */
  readonly origin: Origin;
}

export class Chosen {
  #now: Choice = { hovered: NONE, selected: NONE, origin: "list" };
  readonly #listeners = new Set<(now: Choice, before: Choice) => void>();

  get now(): Choice {
    return this.#now;
  }

  hover(row: number, origin: Origin): void {
    this.#change({ hovered: row, selected: this.#now.selected, origin });
  }

  select(row: number, origin: Origin): void {
    this.#change({ hovered: this.#now.hovered, selected: row, origin });
  }

  onChange(hear: (now: Choice, before: Choice) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  #change(next: Choice): void {
    const before = this.#now;
    if (next.hovered === before.hovered && next.selected === before.selected) return;
    this.#now = next;
    for (const hear of [...this.#listeners]) hear(next, before);
  }
}
