// What did an edit move? Rank and money of an offtake before and after, in one line.
import type { Shown } from "./outcome.ts";
import type { Scene } from "./scene.ts";

/** Where an offtake stood. */
export interface Stood {
  readonly rank: number;
  readonly inside: boolean;
}

/** Where every offtake stands, by code; "inside" under the way shown. */
export function standingNow({ offtakes }: Scene, { rank, inside }: Pick<Shown, "rank" | "inside">): Map<string, Stood> {
  return new Map(offtakes.offtake_id.map((code, row) => [code, { rank: rank[row] ?? 0, inside: inside[row] === 1 }]));
}

const MOST_NAMED = 3;

/**
 * "B-031: rank 12 to 9; in the set now". `codes` are those the edit touched: they are always named;
 * the others are counted.
 */
export function movedLine(before: ReadonlyMap<string, Stood>, after: ReadonlyMap<string, Stood>, codes: readonly string[]): string {
  const named = codes.filter((code) => before.has(code) && after.has(code));
  const told = named.slice(0, MOST_NAMED).map((code) => oneMoved(code, before.get(code), after.get(code)));
  const rest = named.length > MOST_NAMED ? [`${named.length - MOST_NAMED} more edited`] : [];
  const all = [...told, ...rest, ...othersMoved(before, after, new Set(named))];
  return `${all.length ? all.join(". ") : "Nobody comes in or goes out"}.`;
}

function oneMoved(code: string, was: Stood | undefined, is: Stood | undefined): string {
  if (!was || !is) return code;
  const rank = was.rank === is.rank ? `stays at rank ${is.rank}` : `rank ${was.rank} to ${is.rank}`;
  const money = was.inside === is.inside ? (is.inside ? "still inside" : "still outside") : is.inside ? "in the set now" : "out of the set now";
  return `${code}: ${rank}; ${money}`;
}

function othersMoved(before: ReadonlyMap<string, Stood>, after: ReadonlyMap<string, Stood>, named: ReadonlySet<string>): string[] {
  const others = [...after].filter(([code]) => !named.has(code));
  const enter = others.filter(([code, is]) => is.inside && before.get(code)?.inside !== true).map(([code]) => code);
  const leave = others.filter(([code, is]) => !is.inside && before.get(code)?.inside === true).map(([code]) => code);
  const added = others.filter(([code]) => !before.has(code)).length;
  const gone = [...before.keys()].filter((code) => !after.has(code)).length;
  return [
    ...(enter.length ? [`${some(enter)} ${enter.length === 1 ? "comes" : "come"} in`] : []),
    ...(leave.length ? [`${some(leave)} ${leave.length === 1 ? "goes" : "go"} out`] : []),
    ...(added ? [`${added} new`] : []),
    ...(gone ? [`${gone} taken away`] : []),
  ];
}

function some(codes: readonly string[]): string {
  return codes.length <= MOST_NAMED ? codes.join(", ") : `${codes.slice(0, MOST_NAMED).join(", ")} and ${codes.length - MOST_NAMED} more`;
}
