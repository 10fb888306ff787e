// On which side of its site does each number of a run stand, so that numbers close together are all read?

export const SIDES = ["ne", "se", "nw", "sw", "n", "s"] as const;
export type Side = (typeof SIDES)[number];

/** A site on the screen with the size of its number, px. */
export interface Plate {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** The first side on which a number covers least of those before it and of what is `taken` already; `gap` is
 * how far it stands off, px. */
export function sidesOf(plates: readonly Plate[], gap: number, taken: readonly Box[] = []): Side[] {
  const placed = [...taken];
  return plates.map((plate) => {
    const boxes = SIDES.map((side) => boxOn(plate, side, gap));
    const covers = boxes.map((box) => placed.reduce((sum, other) => sum + shared(box, other), 0));
    const best = covers.indexOf(Math.min(...covers));
    const box = boxes[best];
    if (box) placed.push(box);
    return SIDES[best] ?? "ne";
  });
}

function boxOn({ x, y, width, height }: Plate, side: Side, gap: number): Box {
  const left = side.endsWith("e") ? x + gap : side.endsWith("w") ? x - gap - width : x - width / 2;
  const off = side.length === 1 ? 2 * gap : gap;
  const top = side.startsWith("n") ? y - off - height : y + off;
  return { left, top, right: left + width, bottom: top + height };
}

function shared(one: Box, other: Box): number {
  const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
  const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
  return across > 0 && down > 0 ? across * down : 0;
}
