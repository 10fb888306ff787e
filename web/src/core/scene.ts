// The catchment as the page holds it: decoded once, read by list, map and card alike.
import type { Essentials } from "../wire/catchment.ts";
import type { CatchmentFacts, Offtakes, Reaches } from "../wire/contract.ts";
import { decodeLines, type WorldLine } from "./lines.ts";
import { degrees, worldX, worldY } from "./mercator.ts";
import { rowsByRank } from "./order.ts";
import { stepsAside } from "./side_by_side.ts";

export interface Scene {
  readonly facts: CatchmentFacts;
  readonly offtakes: Offtakes;
  readonly reaches: Reaches;
  readonly riverLines: readonly WorldLine[];
  /** Offtake rows in order of rank. */
  readonly byRank: readonly number[];
  /** World coordinates of each offtake row, x, y, x, y, ... */
  readonly offtakeXY: Float64Array;
  /** How far each is drawn beside its place, x, y, x, y, ..., in breadths of a disc. */
  readonly offtakeAside: Float64Array;
}

export function makeScene({ facts, offtakes, reaches }: Essentials): Scene {
  const offtakeXY = new Float64Array(2 * offtakes.count);
  for (let row = 0; row < offtakes.count; row += 1) {
    offtakeXY[2 * row] = worldX(degrees(offtakes.lon[row] ?? 0));
    offtakeXY[2 * row + 1] = worldY(degrees(offtakes.lat[row] ?? 0));
  }
  return {
    facts,
    offtakes,
    reaches,
    riverLines: decodeLines(reaches),
    byRank: rowsByRank(offtakes.rank),
    offtakeXY,
    offtakeAside: stepsAside(offtakeXY),
  };
}
