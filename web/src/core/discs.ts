// How large is an offtake's disc? Small on a small map, growing as one looks closer.

import { CLOSE_OUT, HAND_OUT, RING } from "./marks.ts";

const LEAST_PX = 4.2;
const MOST_PX = 9;

export function discRadiusPx(zoomsAboveFit: number, mapWidthPx: number): number {
  const atFit = Math.min(6.6, Math.max(LEAST_PX, 3 + mapWidthPx / 250));
  return Math.min(MOST_PX, Math.max(LEAST_PX, atFit + 0.9 * zoomsAboveFit));
}

/** What is outside is drawn smaller, so that what is inside is seen first. */
const SHARE_OF_RADIUS: Readonly<Record<number, number>> = { [RING]: 0.72, [CLOSE_OUT]: 0.84, [HAND_OUT]: 0.84 };

/** Radius of one mark where a full disc has `radiusPx`. */
export function signRadius(mark: number, radiusPx: number): number {
  return (SHARE_OF_RADIUS[mark] ?? 1) * radiusPx;
}
