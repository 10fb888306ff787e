// Turns coded lines into world coordinates with a box each, ready to be drawn at any zoom.
import { degrees, worldX, worldY } from "./mercator.ts";

export interface Coded {
  readonly row: readonly number[];
  readonly points: readonly number[];
  readonly lon: readonly number[];
  readonly lat: readonly number[];
}

export interface WorldLine {
  /** Table row it belongs to. */
  readonly row: number;
  /** x, y, x, y, ... */
  readonly xy: Float64Array;
  readonly west: number;
  readonly north: number;
  readonly east: number;
  readonly south: number;
}

export function decodeLines(coded: Coded): WorldLine[] {
  const lines: WorldLine[] = [];
  let at = 0;
  let row = 0;
  let lon = 0;
  let lat = 0;
  coded.points.forEach((points, line) => {
    row += coded.row[line] ?? 0;
    const xy = new Float64Array(2 * points);
    let [west, north, east, south] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = 0; i < points; i += 1, at += 1) {
      lon += coded.lon[at] ?? 0;
      lat += coded.lat[at] ?? 0;
      const x = worldX(degrees(lon));
      const y = worldY(degrees(lat));
      xy[2 * i] = x;
      xy[2 * i + 1] = y;
      west = Math.min(west, x);
      east = Math.max(east, x);
      north = Math.min(north, y);
      south = Math.max(south, y);
    }
    lines.push({ row, xy, west, north, east, south });
  });
  return lines;
}

/** Running totals of steps: the values themselves. */
export function fromSteps(steps: readonly number[]): number[] {
  let value = 0;
  return steps.map((step) => (value += step));
}
