// Why is an offtake inside or outside the money, and what would change it? In sentences.
import type { EntryAsked } from "../wire/fund.ts";
import { setKey } from "./asked.ts";
import type { Candidates } from "./candidates.ts";
import { type ScoreEntry } from "./entry.ts";
import { COMMITTED } from "./fund.ts";
import { WAY_WORDS } from "./fund_words.ts";
import { money } from "./numbers.ts";
import type { Shown } from "./outcome.ts";
import type { Scene } from "./scene.ts";
import { wholeAdults, worthForMoney } from "./worth.ts";

export function entryKey(asked: EntryAsked): string {
  return `${asked.code} ${setKey(asked)}`;
}

/** "Inside by score", "Outside the best set". */
export function standingTitle({ way, inside, best }: Shown, row: number): string {
  if (way === "best" && !best) return WAY_WORDS.best;
  if (way === "score") return inside[row] ? "Inside the budget, by score" : "Outside the budget, by score";
  return inside[row] ? "In the best set" : "Outside the best set";
}

/** Why it stands there under the best set, as far as the page knows. */
export function bestWords({ offtakes, facts }: Scene, of: Candidates, { best, inside, asked, stale }: Shown, row: number): string {
  const code = offtakes.offtake_id[row] ?? "";
  if (!stale && code in asked.left_out) return "Out because it is left out by hand.";
  if (!stale && code in asked.kept_in) return "In because it is kept in by hand.";
  if (!best) return "Not known until the best set is worked out.";
  const why = best.left_out.find((each) => each.row === row)?.reason ?? (inside[row] ? null : offtakes.not_funded_because?.[row]);
  if (why) return `Not in this round: ${why}.`;
  if (of.fundState[row] === COMMITTED) return "In because it is accepted. Its screen is that of its quote; without one, whichever serves the set best, which may be another than by score.";
  const at = best.rows.indexOf(row);
  const alike = at < 0 || best.options[at] === offtakes.best_option[row];
  const whole = wholeAdults(best);
  const gives = ((offtakes.gain_share[row] ?? 0) / 1e6) * whole * (1000 / (of.fundCost[row] ?? NaN));
  const line = best.price_adults_per_1000 ?? null;
  const verdict = inside[row] ? "In because" : "Out because";
  if (!alike) {
    const screen = offtakes.options[best.options[at] ?? -1]?.name ?? "";
    return `In with ${screen}: with the others it gives more for the money than the screen that is best by itself.`;
  }
  if (line === null || !Number.isFinite(gives)) return `${verdict} of what it gives together with the others.`;
  const told = `${worthForMoney(gives, whole, facts)} by itself; the line stands at ${worthForMoney(line, whole, facts)}`;
  if (inside[row] ? gives >= line : gives <= line) return `${verdict} it gives ${told}.`;
  return `${verdict} of the others in the set, though it gives ${told}.`;
}

/** What would change it by score. */
export function entryWords({ inside, leastBudget, highestCost }: ScoreEntry, now: { budget: number; cost: number }, currency: string): string[] {
  const words = leastBudget === null ? [] : [`A budget of ${money(leastBudget, currency)} brings it in.`];
  if (highestCost === null) return words;
  const cost = `${money(highestCost, currency)} (it costs ${money(now.cost, currency)}; its rank taken as it is)`;
  words.push(inside ? `At this budget it stays inside up to a cost of ${cost}.` : `At this budget it would be inside at a cost of at most ${cost}.`);
  return words;
}
