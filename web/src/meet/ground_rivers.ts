// Along which stretch can a river's name be written? Where the river runs straightest and most level for as long
// as the name is, beside the line, away from signs and other names.
import { drawing } from "../parts/drawing.ts";
import { type Frame, type Place, type Point, pointsOf } from "./ground_frame.ts";
import type { MapRiver } from "./told.ts";

interface Spot {
  readonly x: number;
  readonly y: number;
  /** Degrees, between -90 and 90. */
  readonly turned: number;
  readonly badness: number;
}

interface Covered extends Place {
  readonly counts: number;
}

/** Names tell the larger rivers; more would be a thicket. */
const MOST_NAMES = 7;
/** A sign under a name is as bad as the line leaving it by this share of its length; a point of a river, by so much
 * a millimetre it is wide. */
const [COVERED_COUNTS, WET_COUNTS] = [0.5, 0.05];
const STEEP_COUNTS = 0.25;
/** Above and below a line, and how far from it, as a share of the letters' height. */
const SIDES = [
  [-1, 0.62],
  [1, 0.62],
  [-1, 1],
  [1, 1],
] as const;
/** A name is left out where even the best stretch is worse than this. */
const WORST = 0.75;
const TRIED = 40;

/** Writes the names of rivers, the widest first. */
export function alongRivers(host: SVGGElement, rivers: readonly MapRiver[], dots: readonly Place[], frame: Frame): DOMRect[] {
  const taken: DOMRect[] = [];
  const wet = rivers.flatMap(({ path, width_mm }) => pointsOf(path).map(([x_mm, y_mm]) => ({ x_mm, y_mm, counts: WET_COUNTS * width_mm })));
  const covered = [...wet, ...dots.map((dot) => ({ ...dot, counts: COVERED_COUNTS }))];
  for (const [name, lines] of linesByName(rivers).slice(0, MOST_NAMES)) {
    const label = drawing("text", { class: "name name-river", "text-anchor": "middle" }, [name]);
    host.append(label);
    const { width, height } = label.getBBox();
    const spots = lines.flatMap((line) => spotsOn(line, width, height, covered)).filter((spot) => isFree(spot, width, height, taken, frame));
    const best = spots.sort((a, b) => a.badness - b.badness)[0];
    if (!best || best.badness > WORST) {
      label.remove();
      continue;
    }
    label.setAttribute("transform", `translate(${best.x} ${best.y}) rotate(${best.turned}) translate(0 ${height * 0.32})`);
    taken.push(...alongBoxes(best, width, height));
  }
  return taken;
}

/** Reaches of one name joined where one ends as the next begins, widest rivers first; where a river is half as wide
 * as further down and less it does not bear its name. */
function linesByName(rivers: readonly MapRiver[]): (readonly [string, Point[][]])[] {
  const widest = new Map<string, number>();
  const lines = new Map<string, Point[][]>();
  for (const { name, width_mm } of rivers) {
    if (!name) continue;
    widest.set(name, Math.max(widest.get(name) ?? 0, width_mm));
    lines.set(name, []);
  }
  for (const { name = "", path, width_mm } of rivers) {
    if (width_mm >= (widest.get(name) ?? 0) / 2) lines.get(name)?.push(pointsOf(path));
  }
  const order = [...lines].sort(([a], [b]) => (widest.get(b) ?? 0) - (widest.get(a) ?? 0));
  return order.map(([name, all]) => [name, joined(all)] as const);
}

function joined(lines: readonly Point[][]): Point[][] {
  const left = [...lines];
  const made: Point[][] = [];
  while (left.length) {
    let line = left.pop() ?? [];
    for (let on = true; on; ) {
      const at = left.findIndex((each) => meets(line.at(-1), each[0]) || meets(each.at(-1), line[0]));
      on = at >= 0;
      const [other = []] = on ? left.splice(at, 1) : [];
      if (on) line = meets(line.at(-1), other[0]) ? [...line, ...other] : [...other, ...line];
    }
    made.push(line);
  }
  return made;
}

function meets(a: Point | undefined, b: Point | undefined): boolean {
  return a !== undefined && b !== undefined && Math.hypot(a[0] - b[0], a[1] - b[1]) < 0.05;
}

/** Where a name of this size could stand on either side of a line. */
function spotsOn(line: readonly Point[], width: number, height: number, covered: readonly Covered[]): Spot[] {
  const found: Spot[] = [];
  const step = Math.max(1, Math.floor(line.length / TRIED));
  for (let from = 0; from < line.length; from += step) {
    const to = line.findIndex((point, i) => i > from && Math.hypot(point[0] - line[from]![0], point[1] - line[from]![1]) >= width);
    if (to < 0) break;
    found.push(...bothSides(line.slice(from, to + 1), width, height, covered));
  }
  return found;
}

function bothSides(stretch: readonly Point[], width: number, height: number, all: readonly Covered[]): Spot[] {
  const [[x0, y0], [x1, y1]] = [stretch[0]!, stretch.at(-1)!];
  const length = Math.hypot(x1 - x0, y1 - y0);
  const [ux, uy] = x1 >= x0 ? [(x1 - x0) / length, (y1 - y0) / length] : [(x0 - x1) / length, (y0 - y1) / length];
  const off = stretch.map(([x, y]) => (y - y0) * ux - (x - x0) * uy); // below the chord is more
  return SIDES.map(([side, far]) => {
    const bulge = side > 0 ? Math.max(...off) : Math.min(...off);
    const away = bulge + side * height * far;
    const [x, y] = [(x0 + x1) / 2 - uy * away, (y0 + y1) / 2 + ux * away];
    const isUnder = ({ x_mm, y_mm }: Place): boolean => Math.abs((x_mm - x) * ux + (y_mm - y) * uy) < width / 2 && Math.abs((y_mm - y) * ux - (x_mm - x) * uy) < height / 2;
    const covered = all.reduce((sum, each) => sum + (isUnder(each) ? each.counts : 0), 0);
    const bent = (Math.max(...off) - Math.min(...off)) / width;
    return { x, y, turned: (Math.atan2(uy, ux) * 180) / Math.PI, badness: bent + STEEP_COUNTS * Math.abs(uy) + covered };
  });
}

function isFree(spot: Spot, width: number, height: number, taken: readonly DOMRect[], frame: Frame): boolean {
  const own = alongBoxes(spot, width, height);
  const within = own.every(({ left, top, right, bottom }) => left >= frame.left && top >= frame.top && right <= frame.right && bottom <= frame.bottom);
  return within && !own.some((box) => taken.some((other) => box.left < other.right && other.left < box.right && box.top < other.bottom && other.top < box.bottom));
}

/** Squares along a turned name, which cover it. */
function alongBoxes({ x, y, turned }: Spot, width: number, height: number): DOMRect[] {
  const turn = (turned * Math.PI) / 180;
  const count = Math.max(1, Math.ceil(width / height));
  return Array.from({ length: count }, (_, i) => {
    const away = ((i + 0.5) / count - 0.5) * width;
    return new DOMRect(x + away * Math.cos(turn) - height / 2, y + away * Math.sin(turn) - height / 2, height, height);
  });
}
