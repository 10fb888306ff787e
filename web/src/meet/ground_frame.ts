// What part of the drawing is shown: rivers and offtakes with a little air, and a corner for the scale.
import type { MeetingMap } from "./told.ts";

export type Point = readonly [x: number, y: number];

export interface Place {
  readonly x_mm: number;
  readonly y_mm: number;
}

export interface Frame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const AIR_MM = 3.5;
/** The room a scale takes beside its bar's length. */
const [SCALE_WIDE_MM, SCALE_HIGH_MM] = [4, 11];

export function pointsOf(path: string): Point[] {
  const numbers = (path.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);
  return Array.from({ length: numbers.length >> 1 }, (_, i) => [numbers[2 * i] ?? 0, numbers[2 * i + 1] ?? 0] as const);
}

export function frameOf(points: readonly Point[], { width_mm, height_mm }: MeetingMap): Frame {
  if (!points.length) return { left: 0, top: 0, right: width_mm, bottom: height_mm };
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  const least = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b), Infinity) - AIR_MM;
  const most = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b), -Infinity) + AIR_MM;
  return { left: least(xs), top: least(ys), right: most(xs), bottom: most(ys) };
}

/** The left end of a scale bar in the emptiest corner. */
export function emptiestCorner(points: readonly Point[], { left, top, right, bottom }: Frame, barMm: number): Point {
  const [wide, high] = [barMm + SCALE_WIDE_MM, SCALE_HIGH_MM];
  const corners = [[left, bottom], [right - wide, bottom], [left, top + high], [right - wide, top + high]] as const;
  const count = ([x, y]: Point): number => points.filter((point) => point[0] > x && point[0] < x + wide && point[1] < y && point[1] > y - high).length;
  const best = corners.reduce((a, b) => (count(b) < count(a) ? b : a));
  return [best[0] + SCALE_WIDE_MM / 4, best[1] - 1];
}
