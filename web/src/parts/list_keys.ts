// Which place of the list does a key lead to? Null where the key is no step.

export function placeAfterKey(
  key: string,
  place: number,
  count: number,
  page: number,
): number | null {
  const steps: Readonly<Record<string, number>> = {
    ArrowDown: place + 1,
    ArrowUp: place - 1,
    PageDown: place + page,
    PageUp: place - page,
    Home: 0,
    End: count - 1,
  };
  const next = steps[key];
  return next === undefined ? null : Math.min(count - 1, Math.max(0, next));
}
