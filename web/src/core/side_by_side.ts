// How do offtakes that share a place stand on the map? Side by side around it, none upon another, as on
// paper. The public is told the middle of a reach for each offtake on it: where in the block one stands
// follows from its row alone, so it tells nothing of the true place.

/** Steps from its place for each row, x, y, x, y, ..., in breadths of a disc; 0 where it is alone. */
export function stepsAside(xy: Float64Array): Float64Array {
  const sharing = new Map<string, number[]>();
  for (let row = 0; 2 * row < xy.length; row += 1) {
    const place = `${xy[2 * row]} ${xy[2 * row + 1]}`;
    const rows = sharing.get(place);
    if (rows) rows.push(row);
    else sharing.set(place, [row]);
  }
  const steps = new Float64Array(xy.length);
  for (const rows of sharing.values()) {
    rows.forEach((row, at) => {
      [steps[2 * row], steps[2 * row + 1]] = inBlock(at, rows.length);
    });
  }
  return steps;
}

/** Breadth of a step where a disc has `radiusPx`, a hair's gap with it. */
export function stepPx(radiusPx: number): number {
  return 2 * radiusPx + 1.5;
}

/** The steps from the middle of a block about as wide as high, filled row by row, the last one centred. */
function inBlock(at: number, count: number): [x: number, y: number] {
  const wide = Math.ceil(Math.sqrt(count));
  const high = Math.ceil(count / wide);
  const line = Math.floor(at / wide);
  const inLine = line === high - 1 ? count - wide * (high - 1) : wide;
  return [(at % wide) - (inLine - 1) / 2, line - (high - 1) / 2];
}
