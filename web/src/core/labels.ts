// Where can each name stand? Beside its place on the side that covers least, the weightier first;
// a name that would touch another or lie on signs is left out.

export interface Name {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly weight: number;
}

export type Side = (typeof SPOTS)[number][0];

/** Sides, best first: from the place to the name's nearest point, in px; 0 is the name's middle. */
const SPOTS = [
  ["right", 7, 0],
  ["left", -7, 0],
  ["above", 0, -7],
  ["below", 0, 7],
  ["upper-right", 5, -3],
  ["lower-right", 5, 3],
  ["upper-left", -5, -3],
  ["lower-left", -5, 3],
  ["far-right", 15, 0],
  ["far-left", -15, 0],
  ["far-above", 0, -15],
  ["far-below", 0, 15],
] as const;
const GAP_PX = 4;
/** How many signs a name may lie on, by weight: none, one, or any for what a map cannot do without. */
const MAY_COVER: readonly number[] = [0, 0, 0, 1];
/** A name cut by the edge is as bad as one that covers this many signs. */
const CUT_COUNTS = 8;

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/**
 * The side each name stands on, null where it has no room; `marks` are x, y, x, y of signs, and a
 * name is not cut by the edge of the view where another side keeps it whole.
 */
export function sidesWithRoom(
  names: readonly Name[],
  marks: Float64Array,
  markRadius: number,
  view: Box,
): (Side | null)[] {
  const order = names.map((_, i) => i);
  order.sort((a, b) => (names[b]?.weight ?? 0) - (names[a]?.weight ?? 0) || a - b);
  const sides: (Side | null)[] = names.map(() => null);
  const placed: Box[] = [];
  for (const i of order) {
    const name = names[i];
    if (!name) continue;
    let least = Infinity;
    let best: Box | null = null;
    for (const spot of SPOTS) {
      const box = boxAt(name, spot);
      if (placed.some((other) => touch(box, other))) continue;
      const covered = countCovered(box, marks, markRadius) + (isCut(box, view) ? CUT_COUNTS : 0);
      if (covered < least && covered <= (MAY_COVER[name.weight] ?? Infinity)) {
        least = covered;
        best = box;
        sides[i] = spot[0];
      }
    }
    if (best) placed.push(best);
  }
  return sides;
}

function boxAt({ x, y, width, height }: Name, [, dx, dy]: (typeof SPOTS)[number]): Box {
  const left = dx > 0 ? x + dx : dx < 0 ? x + dx - width : x - width / 2;
  const top = dy > 0 ? y + dy : dy < 0 ? y + dy - height : y - height / 2;
  return { left, top, right: left + width, bottom: top + height };
}

function touch(a: Box, b: Box): boolean {
  return (
    a.left < b.right + GAP_PX &&
    b.left < a.right + GAP_PX &&
    a.top < b.bottom + GAP_PX &&
    b.top < a.bottom + GAP_PX
  );
}

function isCut(box: Box, view: Box): boolean {
  const seen =
    box.right > view.left && box.left < view.right && box.bottom > view.top && box.top < view.bottom;
  const whole =
    box.left >= view.left && box.right <= view.right && box.top >= view.top && box.bottom <= view.bottom;
  return seen && !whole;
}

function countCovered(box: Box, marks: Float64Array, radius: number): number {
  let count = 0;
  for (let i = 0; i < marks.length; i += 2) {
    const [x, y] = [marks[i] ?? 0, marks[i + 1] ?? 0];
    const outside =
      x < box.left - radius || x > box.right + radius || y < box.top - radius || y > box.bottom + radius;
    if (!outside) count += 1;
  }
  return count;
}
