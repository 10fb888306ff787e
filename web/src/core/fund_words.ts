// The sentences about spending a budget: what the set shown does, how sure its promise is, what is still
// looked for, and what clashes.
import type { BestSet, FundAsked } from "../wire/fund.ts";
import type { BestNow } from "./best_funding.ts";
import type { Turn } from "./close_calls.ts";
import type { Clash } from "../wire/ask.ts";
import { decimals, money, percent, shortMoney } from "./numbers.ts";
import type { Shown } from "./outcome.ts";
import { listed, offtakeCount } from "./sentences.ts";
import { reasoned, type TrialState, type Way } from "./trial.ts";

export const WAY_WORDS: Readonly<Record<Way, string>> = { score: "By score", best: "Best set" };

export function otherWay(way: Way): Way {
  return way === "score" ? "best" : "score";
}

/** "; 6 close calls". */
export function closeWords(count: number | null): string {
  if (count === null) return "; close calls are being counted";
  return count === 0 ? "; no close call" : `; ${decimals(count, 0)} close call${count === 1 ? "" : "s"}`;
}

/** "; 7 with a private quote are not counted". */
export function quotedWords(count: number): string {
  return count === 0 ? "" : `; ${decimals(count, 0)} with a private quote ${count === 1 ? "is" : "are"} not counted`;
}

/** What a line of the set's money says beside the list by score. */
export function besideWords({ best, way, avoidedShare, asking }: Shown, currency: string): string {
  if (!best) return "";
  if (way === "score") return ` The best set avoids ${percent(best.benefit_share)} for the same budget.`;
  const { beside } = best;
  if (!beside) return "";
  const lost = avoidedShare - beside.benefit_share;
  const loses = lost > 5e-5 ? `, ${percent(lost)} of the loss less` : ", as much";
  const note = asking?.besideStale && !asking.stale ? " (of the list before)" : "";
  return ` The list by score avoids ${percent(beside.benefit_share)} for ${money(beside.spent, currency)}${loses}${note}.`;
}

/** How much more any other set could give. */
export function promise({ sentence, gap, final }: BestSet): string {
  if (final) return sentence;
  return `A first set: at most ${percent(gap)} more is possible; still looking.`;
}

/** What is shown while another answer is on its way, said for those who do not see the marks. */
export function staleWords({ of, looking, work }: BestNow, now: FundAsked, currency: string): string {
  const asked = of && of.budget !== now.budget ? `for ${money(now.budget, currency)}` : "for these choices";
  const shown = !of ? "" : of.budget === now.budget ? "; shown is still the set before them" : `; shown is still the set for ${money(of.budget, currency)}`;
  if (looking) return `Working out the best set ${of ? asked : `for ${money(now.budget, currency)}`}${shown}.`;
  const ended = work.state === "stopped" ? "Stopped" : "Not worked out";
  return `${ended}: the best set ${asked} is not known${shown}.`;
}

/** "promised to the accepted offtakes, short by 120,000 CDL". */
export function clashWords({ rule, short_by: shortBy }: Clash, currency: string): string {
  const [, district, edge] = /^district (.+) (least|most)$/.exec(rule) ?? [];
  if (rule === "most installs") return `most installs: ${decimals(shortBy, 0)} more would be needed`;
  if (district && edge === "least") return `at least so much for ${district}: ${money(shortBy, currency)} short`;
  if (district) return `at most so much for ${district}: ${money(shortBy, currency)} over`;
  const names: Readonly<Record<string, string>> = {
    committed: "the accepted offtakes alone",
    kept: "what is accepted and kept in by hand",
  };
  return shortBy > 0 ? `${names[rule] ?? rule}: ${money(shortBy, currency)} more than the budget` : (names[rule] ?? rule);
}

/** "it drops out with 5 points less weight on season overlap". */
export function turnWords({ criterion, by }: Turn, inside: boolean, label: (criterion: string) => string): string {
  const moves = inside ? "drops out" : "comes in";
  if (criterion === null) return `it ${moves} if its cost ${by > 0 ? "rises" : "falls"} by a tenth`;
  const points = decimals(Math.abs(by) / 10, 0);
  return `it ${moves} with ${points} points ${by > 0 ? "more" : "less"} weight on ${label(criterion).toLowerCase()}`;
}

/** How many were chosen by hand, and that they move the best set alone. */
export function handWords({ keptIn, leftOut, way }: TrialState): string {
  const [kept, left] = [keptIn, leftOut].map((choices) => Object.keys(reasoned(choices)).length) as [number, number];
  if (!kept && !left) return "";
  const told = [kept ? `${offtakeCount(kept)} kept in` : "", left ? `${offtakeCount(left)} left out` : ""].filter(Boolean).join(", ");
  return way === "best" ? `By hand: ${told}.` : `${told} by hand: that moves the best set alone, not the list by score.`;
}

/** "Conditions: at most 20 installs; Kindle Hills at least 30 % of the budget." */
export function conditionWords({ districtLeast, districtMost, mostInstalls, together }: TrialState): string {
  const shares = (edge: string, of: Readonly<Record<string, number>>): string[] =>
    Object.entries(of).map(([district, share]) => `${district} ${edge} ${percent(share)} of the budget`);
  const told = [
    ...(mostInstalls === null ? [] : [`at most ${decimals(mostInstalls, 0)} installs`]),
    ...shares("at least", districtLeast),
    ...shares("at most", districtMost),
    ...together.map((codes) => `${listed(codes)} all or none`),
  ];
  return told.length ? `Conditions: ${told.join("; ")}.` : "";
}

/** What stands on the line of the best set. */
export function bestLine({ best, spent }: Shown, currency: string): string {
  if (!best) return "the best set is being worked out";
  if (!best.rows.length) return "no offtake is in the best set";
  return `best set ends here: ${shortMoney(spent ?? 0)} of ${shortMoney(best.budget)}${currency ? ` ${currency}` : ""}`;
}
