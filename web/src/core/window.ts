// Which rows of a long list are near enough to be seen?

export interface Span {
  readonly first: number;
  /** One past the last. */
  readonly end: number;
}

const SPARE_ROWS = 6;

export function visibleSpan(
  scrollTop: number,
  height: number,
  rowHeight: number,
  count: number,
): Span {
  const first = Math.max(0, Math.floor(scrollTop / rowHeight) - SPARE_ROWS);
  const end = Math.min(count, Math.ceil((scrollTop + height) / rowHeight) + SPARE_ROWS);
  return { first: Math.min(first, end), end };
}

/** Where to scroll so that a row is seen whole; the present place if it is already. */
export function scrollTo(
  row: number,
  scrollTop: number,
  height: number,
  rowHeight: number,
): number {
  const top = row * rowHeight;
  if (top < scrollTop) return top;
  if (top + rowHeight > scrollTop + height) return top + rowHeight - height;
  return scrollTop;
}
