// Which offtake stands at which place of the list: those inside the money first, then the budget
// line, then the others, each in order of rank.

/** What a place holds in place of a row where the budget line is drawn. */
export const LINE = -1;

export interface Listing {
  /** Offtake row at each place, LINE at the budget line. */
  readonly rowAt: Int32Array;
  readonly placeOf: Int32Array;
}

export function listingOf(order: Int32Array, inside: Uint8Array, withLine: boolean): Listing {
  const rowAt = new Int32Array(order.length + (withLine ? 1 : 0));
  const placeOf = new Int32Array(order.length);
  let place = 0;
  const put = (wanted: number): void => {
    for (const row of order) {
      if (inside[row] !== wanted) continue;
      rowAt[place] = row;
      placeOf[row] = place;
      place += 1;
    }
  };
  put(1);
  if (withLine) {
    rowAt[place] = LINE;
    place += 1;
  }
  put(0);
  return { rowAt, placeOf };
}
