// Where do names stand on the meeting's map? A river's along the river; those of towns and codes beside their
// places, where they cover least; a name without room is left out.
import { drawing } from "../parts/drawing.ts";
import { type Frame, type Place, pointsOf } from "./ground_frame.ts";
import { alongRivers } from "./ground_rivers.ts";
import type { MapRiver, MapTown } from "./told.ts";

/** A sign on the map; what is faint may be covered sooner. */
export interface Sign extends Place {
  readonly faint: boolean;
}

export interface Names {
  readonly rivers: readonly MapRiver[];
  readonly towns: readonly MapTown[];
  /** Words beside places: codes of offtakes. */
  readonly told: readonly (Place & { readonly words: string })[];
}

interface Wanted extends Place {
  readonly words: string;
  readonly kind: string;
  /** The most that may be covered, in signs. */
  readonly most: number;
  /** As near as this, in heights of the name, a sign counts too. */
  readonly near: number;
}

interface Covered extends Place {
  readonly counts: number;
}

/** Ways from a place to the nearest point of its name, best first, in heights of the name. */
const SPOTS = [
  [0.4, 0],
  [-0.4, 0],
  [0, -0.4],
  [0, 0.4],
  [0.3, -0.25],
  [0.3, 0.25],
  [-0.3, -0.25],
  [-0.3, 0.25],
  [0.9, 0],
  [-0.9, 0],
  [0, -0.9],
  [0, 0.9],
] as const;
/** Between two names, in their heights. */
const GAP = 0.1;
/** A code beside another offtake's sign would be read as that one's. */
const [NEAR_TOWN, NEAR_CODE] = [0.2, 0.5];
/** As bad as being covered by this share. */
const NEAR_COUNTS = 0.8;
/** What is covered counts in signs. */
const [STRONG_COUNTS, FAINT_COUNTS, RIVER_COUNTS] = [1, 0.15, 0.08];
/** A code stands whatever it covers; a town covers little. */
const ANY = 1000;
const [LARGE, LARGE_TOWN_MOST, TOWN_MOST] = [3, 1.5, 0.9];
const WIDE_MM = 0.3;

/** Writes the names that find room, and gives the towns among them: a town without its name is a riddle. */
export function placeNames(host: SVGGElement, names: Names, signs: readonly Sign[], frame: Frame): readonly MapTown[] {
  host.replaceChildren();
  const taken = alongRivers(host, names.rivers, [...signs, ...names.towns], frame);
  const wide = names.rivers.filter(({ width_mm }) => width_mm > WIDE_MM);
  const covered: Covered[] = [
    ...wide.flatMap(({ path }) => pointsOf(path).map(([x_mm, y_mm]) => ({ x_mm, y_mm, counts: RIVER_COUNTS }))),
    ...signs.map(({ x_mm, y_mm, faint }) => ({ x_mm, y_mm, counts: faint ? FAINT_COUNTS : STRONG_COUNTS })),
    ...names.towns.map(({ x_mm, y_mm }) => ({ x_mm, y_mm, counts: STRONG_COUNTS })),
  ];
  for (const told of names.told) {
    const box = placed(host, { ...told, kind: "told", most: ANY, near: NEAR_CODE }, covered, taken, frame);
    if (box) host.prepend(leader(told, box));
  }
  const hasSigns = signs.length > 0;
  return names.towns.filter(({ name, size, x_mm, y_mm }) => {
    const most = hasSigns ? (size >= LARGE ? LARGE_TOWN_MOST : TOWN_MOST) : ANY;
    return placed(host, { words: name, x_mm, y_mm, kind: `town size-${size}`, most, near: NEAR_TOWN }, covered, taken, frame) !== null;
  });
}

/** Writes a name where it covers least, and gives its box where it found room. */
function placed(host: SVGGElement, { words, kind, x_mm, y_mm, most, near }: Wanted, covered: readonly Covered[], taken: DOMRect[], frame: Frame): DOMRect | null {
  const label = drawing("text", { class: `name name-${kind}` }, [words]);
  host.append(label);
  const { x, y, width, height } = label.getBBox();
  let [least, best]: [number, DOMRect | null] = [Infinity, null];
  for (const [right, down] of SPOTS) {
    const box = boxAt(x_mm + right * height, y_mm + down * height, width, height, Math.sign(right), Math.sign(down));
    if (box.left < frame.left || box.top < frame.top || box.right > frame.right || box.bottom > frame.bottom) continue;
    if (taken.some((other) => touch(box, other, GAP * height))) continue;
    const others = covered.filter((each) => isOn(each, box, near * height) && !(each.x_mm === x_mm && each.y_mm === y_mm));
    const sum = others.reduce((all, each) => all + each.counts * (isOn(each, box, NEAR_TOWN * height) ? 1 : NEAR_COUNTS), 0);
    if (sum < least && sum <= most) [least, best] = [sum, box];
  }
  if (!best) label.remove();
  else label.setAttribute("transform", `translate(${best.x - x} ${best.y - y})`);
  if (best) taken.push(best);
  return best;
}

/** A fine line from an offtake's sign to its code: among neighbours it could be anyone's. */
function leader({ x_mm, y_mm }: Place, { left, top, right, bottom }: DOMRect): SVGPathElement {
  const [x, y] = [Math.min(right, Math.max(left, x_mm)), Math.min(bottom, Math.max(top, y_mm))];
  return drawing("path", { class: "name-leader", d: `M${x_mm} ${y_mm}L${x} ${y}` });
}

/** The box whose side or corner nearest to the place is at a point. */
function boxAt(x: number, y: number, width: number, height: number, right: number, down: number): DOMRect {
  return new DOMRect(x - (width * (1 - right)) / 2, y - (height * (1 - down)) / 2, width, height);
}

function touch(a: DOMRect, b: DOMRect, gap: number): boolean {
  return a.left < b.right + gap && b.left < a.right + gap && a.top < b.bottom + gap && b.top < a.bottom + gap;
}

function isOn({ x_mm, y_mm }: Place, { left, top, right, bottom }: DOMRect, around: number): boolean {
  return x_mm > left - around && x_mm < right + around && y_mm > top - around && y_mm < bottom + around;
}
