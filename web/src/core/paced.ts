// Does a thing at once when it rested, and else soon: never more often than once in a while.

export interface Pace {
  readonly soon: () => void;
  /** What waits is done now. */
  readonly flush: () => void;
  /** What waits is never done. */
  readonly drop: () => void;
}

export function paced(act: () => void, restMs: number): Pace {
  let timer: ReturnType<typeof setTimeout> | null = null;
  let due = false;
  const rested = (): void => {
    timer = null;
    if (due) go();
  };
  const go = (): void => {
    due = false;
    timer = setTimeout(rested, restMs);
    act();
  };
  const drop = (): void => {
    if (timer !== null) clearTimeout(timer);
    [timer, due] = [null, false];
  };
  return {
    soon: () => {
      if (timer === null) go();
      else due = true;
    },
    flush: () => {
      const waits = due;
      drop();
      if (waits) act();
    },
    drop,
  };
}
