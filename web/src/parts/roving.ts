// A bar of buttons is one stop for the tab key; arrow keys lead from one to the next.
import { type Dispose, listen, together } from "../core/dispose.ts";

const STEPS: Readonly<Record<string, number>> = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };

export interface OneStop {
  /** After buttons were hidden or shown: the stop is one that is seen. */
  readonly fit: () => void;
  readonly dispose: Dispose;
}

/** The stop follows the focus; `all` stand in the order they are seen. */
export function keepOneStop(bar: HTMLElement, all: readonly HTMLElement[]): OneStop {
  let stop = all[0];

  function fit(): void {
    if (stop?.hidden) stop = all.find((each) => !each.hidden);
    for (const each of all) each.tabIndex = each === stop ? 0 : -1;
  }

  function take({ target }: Event): void {
    stop = all.find((each) => each === target) ?? stop;
    fit();
  }

  function pressed(event: KeyboardEvent): void {
    const step = STEPS[event.key];
    const seen = all.filter((each) => !each.hidden);
    const at = seen.findIndex((each) => each === document.activeElement);
    if (!step || at < 0 || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    seen[(at + step + seen.length) % seen.length]?.focus();
  }

  fit();
  const dispose = together([listen(bar, "focusin", take), listen(bar, "click", take), listen(bar, "keydown", pressed)]);
  return { fit, dispose };
}
