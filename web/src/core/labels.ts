// Where can each name stand? Beside its place on the side that covers least, the weightier first;
// a name that would touch another is left out.

export interface Name {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly weight: number;
}

export type Side = "right" | "left" | "above" | "below";
const SIDES: readonly Side[] = ["right", "left", "above", "below"];
const OFFSET_PX = 7;
const GAP_PX = 4;
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
    for (const side of SIDES) {
      const box = boxAt(name, side);
      if (placed.some((other) => touch(box, other))) continue;
      const covered = countCovered(box, marks, markRadius) + (isCut(box, view) ? CUT_COUNTS : 0);
      if (covered < least) {
        least = covered;
        best = box;
        sides[i] = side;
      }
    }
    if (best) placed.push(best);
  }
  return sides;
}

function boxAt({ x, y, width, height }: Name, side: Side): Box {
  const left = { right: x + OFFSET_PX, left: x - OFFSET_PX - width, above: x - width / 2, below: x - width / 2 }[side];
  const top = { right: y - height / 2, left: y - height / 2, above: y - OFFSET_PX - height, below: y + OFFSET_PX }[side];
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
