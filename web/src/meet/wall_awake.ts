// A button on a wall is for one pair of hands: it is seen while the pointer or a key moves, and not afterwards.
import type { Dispose } from "../core/dispose.ts";

const AWAKE_MS = 4_000;
const MOVES = ["pointermove", "pointerdown", "keydown"] as const;

export function awakeWhileMoved(made: HTMLElement): Dispose {
  let timer = 0;
  const wake = (): void => {
    made.classList.add("is-awake");
    clearTimeout(timer);
    timer = window.setTimeout(() => made.classList.remove("is-awake"), AWAKE_MS);
  };
  for (const each of MOVES) document.addEventListener(each, wake);
  return () => {
    clearTimeout(timer);
    for (const each of MOVES) document.removeEventListener(each, wake);
  };
}
