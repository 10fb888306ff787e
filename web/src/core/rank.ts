// Who stands before whom? Whole scores in falling order, ties in the order of the wire.

const DIGIT_BITS = 10;
const DIGITS = 1 << DIGIT_BITS;
const PASSES = 3;
/** Largest possible score: 1000 thousandths of a million millionths; below 2^30. */
const MOST = 1e9;

/**
 * Scores in whole billionths; `values` are millionths a criterion, `weights` thousandths in the
 * same order, so sums stay whole.
 */
export function scores(values: readonly Int32Array[], weights: readonly number[], count: number): Int32Array {
  const score = new Int32Array(count);
  values.forEach((column, at) => {
    const weight = weights[at] ?? 0;
    if (weight === 0) return;
    for (let row = 0; row < count; row += 1) score[row] = (score[row] ?? 0) + weight * (column[row] ?? 0);
  });
  return score;
}

/** Rows by higher score; equal ones stay as they stand in `tieRows` (a radix order keeps them). */
export function ordered(score: Int32Array, tieRows: Int32Array): Int32Array {
  const count = score.length;
  let from = Int32Array.from(tieRows);
  let into = new Int32Array(count);
  const starts = new Int32Array(DIGITS + 1);
  for (let pass = 0; pass < PASSES; pass += 1) {
    const shift = pass * DIGIT_BITS;
    starts.fill(0);
    for (let i = 0; i < count; i += 1) {
      const digit = ((MOST - (score[i] ?? 0)) >> shift) & (DIGITS - 1);
      starts[digit + 1] = (starts[digit + 1] ?? 0) + 1;
    }
    for (let digit = 0; digit < DIGITS; digit += 1) {
      starts[digit + 1] = (starts[digit + 1] ?? 0) + (starts[digit] ?? 0);
    }
    for (let i = 0; i < count; i += 1) {
      const row = from[i] ?? 0;
      const digit = ((MOST - (score[row] ?? 0)) >> shift) & (DIGITS - 1);
      const place = starts[digit] ?? 0;
      into[place] = row;
      starts[digit] = place + 1;
    }
    [from, into] = [into, from];
  }
  return from;
}

/** Turns an order round: the place (or, counted from `first`, the rank) of every row. */
export function placesOf(order: Int32Array, first = 0): Int32Array {
  const places = new Int32Array(order.length);
  for (let place = 0; place < order.length; place += 1) places[order[place] ?? 0] = place + first;
  return places;
}
