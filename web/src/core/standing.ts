// Is an offtake funded by score, and why or why not? In one line and in one word; each viewer is told no
// more than the answer tells.
import type { Offtakes } from "../wire/contract.ts";
import type { Candidates } from "./candidates.ts";
import { COMMITTED, costOf, fits, NOT_FUNDABLE } from "./fund.ts";
import { decimals, money } from "./numbers.ts";
import type { ByScore } from "./by_score.ts";

/** What the fund pays for a row by score: the accepted ones cost their least where money is short. */
export function fundPays(of: Candidates, row: number, budget: number): number {
  const short = of.fundState[row] === COMMITTED && !fits(costOf(of.committedRows, of.fundCost), budget);
  return (short ? of.fundCostLeast[row] : of.fundCost[row]) ?? NaN;
}

/** "Funded: rank 7, costs 23,400 CDL, money was left." */
export function standingLine(told: { offtakes: Offtakes; of: Candidates; byScore: ByScore; budget: number | null; currency: string }, row: number): string {
  const { offtakes, of, byScore, budget, currency } = told;
  const { bought } = byScore;
  if (!bought || budget === null) return publicLine(offtakes, row);
  const cost = fundPays(of, row, budget);
  const costs = Number.isNaN(cost) ? "" : `costs ${money(cost, currency)}`;
  if (bought.inside[row] && of.fundState[row] === COMMITTED) {
    return `Funded: accepted already, before rank${costs && `; ${costs}`}. Without a quoted screen the best set may give it another.`;
  }
  if (bought.inside[row]) return `Funded: rank ${decimals(byScore.rank[row] ?? 0, 0)}, ${costs}, money was left.`;
  if (of.fundState[row] === NOT_FUNDABLE) return `Not funded: ${offtakes.not_funded_because?.[row] ?? "not in this round"}.`;
  if (!costs) return "Not counted: its cost is a private quote.";
  if (bought.shortBy > 0) return "Not funded: the accepted offtakes alone cost more than the budget.";
  const left = Math.max(0, budget - (bought.spentBefore[row] ?? 0));
  return `Passed over: it ${costs}, ${money(left, currency)} was left.`;
}

/** Who may not see costs hears whether it may be funded, never why not, unless that is public too. */
function publicLine({ status, best_option: best }: Offtakes, row: number): string {
  if (status[row] === "built") return "Not in this round: it is built.";
  if (status[row] == null) return "Not in this round.";
  return (best[row] ?? -1) < 0 ? "Not in this round: no screen fits." : "In this round.";
}

/** "accepted", "built", "declined", "unwilling": what the row says beside the code; "" for the others. */
export function standingWord({ status, not_funded_because: because }: Offtakes, row: number): string {
  const stated = status[row] ?? "";
  if (stated === "built" || stated === "declined") return stated;
  if (because?.[row]?.includes("not willing")) return "unwilling";
  return stated === "accepted" ? stated : "";
}
