// One phone's own weights: where its sliders stand, what they count, where they start.
import { type Weights, weightsOf } from "../core/weights.ts";

/** By criterion, 0 to 10. */
export type Levels = Readonly<Record<string, number>>;

export interface Place {
  readonly x_mm: number;
  readonly y_mm: number;
  readonly words: string;
}

/** What a phone has set, or has not. */
export interface Mine {
  /** Null until a slider was moved: only then does it count as tried. */
  readonly levels: Levels | null;
  readonly group: string;
  readonly places: readonly Place[];
}

export const NOTHING_SET: Mine = { levels: null, group: "", places: [] };
export const LEVEL_SCALE = { least: 0, most: 10, step: 1 } as const;
export const MOST_PLACES = 3;
export const MOST_WORDS = 140;

/** Ends of the sums a slider starts from: low enough to leave room above, high enough for small steps. */
const [LEAST_TOP, USUAL_TOP] = [3, 6];

/** The levels whose shares come nearest to these weights; among equals those with most room either side. */
export function levelsNear(weights: Weights, names: readonly string[]): Levels {
  const most = Math.max(...names.map((name) => weights[name] ?? 0), 1);
  let best: { levels: Levels; off: number; from: number } | null = null;
  for (let top = LEAST_TOP; top <= LEVEL_SCALE.most; top += 1) {
    const levels = Object.fromEntries(names.map((name) => [name, Math.round(((weights[name] ?? 0) * top) / most)]));
    const shares = sharesOf(levels, names);
    const off = Math.max(...names.map((name) => Math.abs((shares[name] ?? 0) - (weights[name] ?? 0))));
    const from = Math.abs(top - USUAL_TOP);
    if (!best || off < best.off || (off === best.off && from < best.from)) best = { levels, off, from };
  }
  return best?.levels ?? {};
}

/** What each counts of the whole, in thousandths. */
export function sharesOf(levels: Levels, names: readonly string[]): Weights {
  return weightsOf(levels, names);
}

/** One slider moved. Null where then nothing would count any more. */
export function withLevel(levels: Levels, name: string, level: number): Levels | null {
  const next = { ...levels, [name]: Math.min(LEVEL_SCALE.most, Math.max(LEVEL_SCALE.least, Math.round(level))) };
  return Object.values(next).some((each) => each > 0) ? next : null;
}

export function sameLevels(one: Levels | null, other: Levels | null): boolean {
  if (!one || !other) return one === other;
  const names = Object.keys(one);
  return names.length === Object.keys(other).length && names.every((name) => one[name] === other[name]);
}

/** A typed level: a whole number from 0 to 10; null where it is none. */
export function typedLevel(text: string): number | null {
  const typed = text.trim();
  return /^(\d|10)$/.test(typed) ? Number(typed) : null;
}
