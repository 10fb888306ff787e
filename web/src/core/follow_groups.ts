// Pumps of one landholder that could be funded, as groups that are taken all or none.
import { NOT_FUNDABLE } from "./fund.ts";
import type { Scene } from "./scene.ts";
import type { Groups } from "./trial.ts";

/** Codes of each landholder with several offtakes that may be funded, most pumps first. */
export function ownedGroups({ offtakes }: Pick<Scene, "offtakes">): Groups {
  const owned = new Map<number, string[]>();
  offtakes.holder?.forEach((holder, row) => {
    if (holder < 0 || offtakes.fund_state?.[row] === NOT_FUNDABLE) return;
    owned.set(holder, [...(owned.get(holder) ?? []), offtakes.offtake_id[row] ?? ""]);
  });
  return [...owned.values()].filter((codes) => codes.length > 1).sort((a, b) => b.length - a.length || ((a[0] ?? "") < (b[0] ?? "") ? -1 : 1));
}

export function isTogether(together: Groups, codes: readonly string[]): boolean {
  return together.some((group) => sameCodes(group, codes));
}

/** The groups with one taken in or out; one that shares a pump with it gives way. */
export function withGroup(together: Groups, codes: readonly string[], on: boolean): Groups {
  const others = together.filter((group) => !group.some((code) => codes.includes(code)));
  return on ? [...others, codes] : others;
}

function sameCodes(one: readonly string[], other: readonly string[]): boolean {
  return one.length === other.length && one.every((code) => other.includes(code));
}
