// The stops of a run as codes by day, and how one is moved: by a button or by a hand, to the same order.

export type Days = readonly (readonly string[])[];

/** Before which stop of which day. */
export interface Spot {
  readonly day: number;
  readonly at: number;
}

export function spotOf(days: Days, code: string): Spot | null {
  for (const [day, codes] of days.entries()) {
    const at = codes.indexOf(code);
    if (at >= 0) return { day, at };
  }
  return null;
}

/** `to.at` counts the stops of that day as they stand before the move. */
export function moved(days: Days, code: string, to: Spot): Days {
  const from = spotOf(days, code);
  if (!from || !days[to.day]) return days;
  const at = from.day === to.day && from.at < to.at ? to.at - 1 : to.at;
  return days.map((codes, day) => {
    const left = codes.filter((each) => each !== code);
    if (day !== to.day) return left.length === codes.length ? codes : left;
    return [...left.slice(0, at), code, ...left.slice(at)];
  });
}

/** One place up or down; past the ends of its day into the day beside it. */
export function stepped(days: Days, code: string, step: 1 | -1): Days {
  const from = spotOf(days, code);
  if (!from) return days;
  const codes = days[from.day] ?? [];
  const next = from.at + step;
  if (next >= 0 && next < codes.length) return moved(days, code, { day: from.day, at: step > 0 ? next + 1 : next });
  const beside = days[from.day + step];
  return beside ? moved(days, code, { day: from.day + step, at: step > 0 ? 0 : beside.length }) : days;
}

/** To the end of another day. */
export function toDay(days: Days, code: string, day: number): Days {
  return spotOf(days, code)?.day === day ? days : moved(days, code, { day, at: days[day]?.length ?? 0 });
}

export function without(days: Days, code: string): Days {
  return days.map((codes) => codes.filter((each) => each !== code));
}

export function sameDays(one: Days, other: Days): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}
