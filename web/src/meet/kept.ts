// What a browser keeps of a meeting, so that a page loaded again goes on where it was. Nothing here is to be
// trusted: what does not fit the meeting is left out.
import { type Levels, LEVEL_SCALE, type Mine, MOST_PLACES, MOST_WORDS, type Place } from "./mine.ts";
import type { Meeting } from "./wire.ts";

export interface Kept extends Mine {
  /** The phone's token; "" where it has to join. */
  readonly phone: string;
}

const keyOf = (code: string): string => `slackwater meeting ${code}`;

export function keep(code: string, kept: Kept): void {
  try {
    localStorage.setItem(keyOf(code), JSON.stringify(kept));
  } catch {
    // a browser that keeps nothing: it holds until the page is left
  }
}

export function forget(code: string): void {
  try {
    localStorage.removeItem(keyOf(code));
  } catch {
    // then there is nothing to forget
  }
}

export function recall(meeting: Meeting): Kept {
  const found = read(meeting.code);
  return {
    phone: typeof found["phone"] === "string" ? found["phone"] : "",
    levels: levelsIn(found["levels"], meeting.criteria.map(({ name }) => name)),
    group: meeting.groups.find((each) => each === found["group"]) ?? "",
    places: placesIn(found["places"]),
  };
}

function read(code: string): Readonly<Record<string, unknown>> {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(keyOf(code)) ?? "{}");
    return found !== null && typeof found === "object" ? (found as Record<string, unknown>) : {};
  } catch {
    return {};
  }
}

function levelsIn(found: unknown, names: readonly string[]): Levels | null {
  if (found === null || typeof found !== "object") return null;
  const levels = names.map((name) => (found as Record<string, unknown>)[name]);
  const sound = levels.every((each) => Number.isInteger(each) && Number(each) >= LEVEL_SCALE.least && Number(each) <= LEVEL_SCALE.most);
  if (!sound || !levels.some((each) => each !== 0)) return null;
  return Object.fromEntries(names.map((name, i) => [name, Number(levels[i])]));
}

function placesIn(found: unknown): Place[] {
  if (!Array.isArray(found)) return [];
  const sound = found.filter((each: Partial<Place> | null) => Number.isFinite(each?.x_mm) && Number.isFinite(each?.y_mm) && typeof each?.words === "string");
  return sound.slice(0, MOST_PLACES).map(({ x_mm, y_mm, words }: Place) => ({ x_mm, y_mm, words: words.slice(0, MOST_WORDS) }));
}
