// How large is an offtake's disc? Small on a small map, growing as one looks closer.

const LEAST_PX = 3.8;
const MOST_PX = 9;

export function discRadiusPx(zoomsAboveFit: number, mapWidthPx: number): number {
  const atFit = Math.min(6.2, Math.max(LEAST_PX, 2.6 + mapWidthPx / 250));
  return Math.min(MOST_PX, Math.max(LEAST_PX, atFit + 0.9 * zoomsAboveFit));
}
