// How wide is a river drawn? Channel width goes with the root of flow (hydraulic geometry), and the
// drawing follows it, so that a reach of four times the flow is twice as wide.

import type { WorldLine } from "./lines.ts";

const LEAST_PX = 0.9;
const MOST_PX = 6.5;

export function riverWidthPx(flowM3s: number, largestM3s: number): number {
  if (!(largestM3s > 0)) return LEAST_PX;
  return LEAST_PX + (MOST_PX - LEAST_PX) * Math.sqrt(Math.max(0, flowM3s) / largestM3s);
}

/** One pixel of river may stand for so many square pixels of the catchment's box. */
const ROOM_PX = 26;

/**
 * The least flow still drawn, by the world's size in pixels: the largest rivers come first, for as
 * long as their lines leave the ground room to be seen.
 */
export function leastFlowDrawn(
  lines: readonly WorldLine[],
  flows: readonly number[],
): (size: number) => number {
  const order = lines.map((_, i) => i);
  const flowOf = (i: number): number => flows[lines[i]?.row ?? -1] ?? 0;
  order.sort((a, b) => flowOf(b) - flowOf(a));
  let sum = 0;
  const lengths = order.map((i) => (sum += lengthOf(lines[i]?.xy)));
  const area = boxArea(lines);
  return (size) => {
    const room = (area * size) / ROOM_PX;
    const first = lengths.findIndex((length) => length > room);
    return first <= 0 ? 0 : flowOf(order[first - 1] ?? -1);
  };
}

function lengthOf(xy: Float64Array = new Float64Array(0)): number {
  let length = 0;
  for (let i = 2; i < xy.length; i += 2) {
    length += Math.hypot((xy[i] ?? 0) - (xy[i - 2] ?? 0), (xy[i + 1] ?? 0) - (xy[i - 1] ?? 0));
  }
  return length;
}

function boxArea(lines: readonly WorldLine[]): number {
  let [west, north, east, south] = [1, 1, 0, 0];
  for (const line of lines) {
    [west, north] = [Math.min(west, line.west), Math.min(north, line.north)];
    [east, south] = [Math.max(east, line.east), Math.max(south, line.south)];
  }
  return Math.max(0, east - west) * Math.max(0, south - north);
}
