// Words that the wall, the phone and the facilitator's page share.
import { percent } from "../core/numbers.ts";
import type { Meeting, WayFacts } from "./told.ts";

export { spacedCode } from "../core/meeting_words.ts";

const FIXED = "\u00a0";

/** "1 phone joined", "24 phones joined". */
export function phonesWords(count: number): string {
  return count === 0 ? "no phone joined yet" : `${counted(count, "phone")} joined`;
}

/** "24 weightings tried". */
export function triedWords(count: number): string {
  return count === 0 ? "no weighting tried yet" : `${counted(count, "weighting")} tried`;
}

export function counted(count: number, one: string, more = `${one}s`): string {
  return `${count}${FIXED}${count === 1 ? one : more}`;
}

/** Of this device's own clock: "10:42". */
export function clock(at: Date): string {
  return new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" }).format(at);
}

export function lostWords(since: Date): string {
  return `Not connected since ${clock(since)}; this is what stood then.`;
}

/** Two places as close as this, in millimetres of the drawing, are one. */
const SAME_MM = 0.05;

/** What a place on the map is called: the nearest town, or the nearest offtake where that is nearer. */
export function nearWords({ offtakes, map }: Pick<Meeting, "offtakes" | "map">, x_mm: number, y_mm: number): string {
  const named = [...map.towns, ...offtakes.map((each) => ({ ...each, name: `offtake ${each.code}` }))];
  let [name, least] = ["", Infinity];
  for (const each of named) {
    const far = Math.hypot(each.x_mm - x_mm, each.y_mm - y_mm);
    if (far < least) [name, least] = [each.name, far];
  }
  if (name === "") return "on the map";
  return `${least < SAME_MM ? "at" : "near"} ${name}`;
}

/** A gap above this is not nothing. */
const LEAST_GAP = 1e-6;

/** The share of the loss that a way avoids: "at least" where nobody has proven that it is the most. */
export function avoidedWords({ benefit_share: share, gap = 0 }: WayFacts): string {
  return `${gap > LEAST_GAP ? "at least " : ""}${percent(share)}`;
}

/** Where minutes are read, as it is typed. */
export function minutesAddress(code: string, join = ""): string {
  return `${join.replace(/^https?:\/\//, "").replace(/\/meet.*$/, "") || location.host}/meet/${code}/minutes`;
}
