// The sentences of the page, made from the numbers shown beside them.
import { atLeastPercent, decimals, percent, shortMoney } from "./numbers.ts";
import type { Year } from "./trial.ts";

/** How many of the list's first the glance speaks of: about a tenth, a round number. */
export function headCount(count: number): number {
  const tenth = count / 10;
  const round = [1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500, 1000];
  return round.reduce((best, each) => (Math.abs(each - tenth) < Math.abs(best - tenth) ? each : best));
}

/** The whole catchment in one sentence where there is no budget; shares of the loss in order of rank. */
export function glance(lossShares: readonly number[]): string {
  const count = lossShares.length;
  const head = headCount(count);
  const share = lossShares.slice(0, head).reduce((sum, each) => sum + each, 0);
  const first = head === 1 ? "the first makes" : `the first ${decimals(head, 0)} make`;
  return `${offtakeCount(count)} ranked; ${first} ${percent(share)} of the loss to pumps.`;
}

export interface Spending {
  readonly count: number;
  readonly spent: number;
  readonly budget: number;
  readonly avoidedShare: number;
  readonly currency: string;
  /** Whose loss: "" for all of it, else "in dry years", "of Snuffer cod". */
  readonly whose: string;
  /** The share is what the set gives together, not at least what each gives alone. */
  readonly together?: boolean;
  /** Said after it, as "; 6 close calls". */
  readonly after?: string;
}

/** What the budget does: "41 offtakes, 2.48 M of 2.50 M CDL, avoiding at least 62 % of the loss to pumps". */
export function fundGlance({ count, spent, budget, avoidedShare, currency, whose, together, after }: Spending): string {
  const money = `${shortMoney(spent)} of ${shortMoney(budget)}${currency ? ` ${currency}` : ""}`;
  if (count === 0) return `No offtake is funded from a budget of ${shortMoney(budget)}${currency ? ` ${currency}` : ""}`;
  const share = together ? percent(avoidedShare) : `at least ${atLeastPercent(avoidedShare)}`;
  return `${offtakeCount(count)}, ${money}, avoiding ${share} of the loss ${whose || "to pumps"}${after ?? ""}`;
}

export function offtakeCount(count: number): string {
  return count === 1 ? "1 offtake" : `${count === 0 ? "No" : decimals(count, 0)} offtakes`;
}

const YEAR_WORDS: Readonly<Record<Year, string>> = {
  mean: "mean of the years",
  dry: "dry years",
  median: "median years",
  wet: "wet years",
};

export function yearWords(year: Year): string {
  return YEAR_WORDS[year];
}

/** Whose loss is shown, said only where it is not all of it: "of Snuffer cod in dry years". */
export function whoseLoss(year: Year, guildName: string): string {
  const guild = guildName ? `of ${guildName}` : "";
  const years = year === "mean" ? "" : `in ${YEAR_WORDS[year]}`;
  return [guild, years].filter(Boolean).join(" ");
}

/** A guild's name without what explains it: "Snuffer cod" of "Snuffer cod: guards its nest". */
export function shortName(name: string): string {
  return name.split(":")[0]?.trim() ?? name;
}

/** What the map shows, for those who cannot see it. */
export function mapSummary(count: number, inView: number, firstCode: string): string {
  if (inView === 0) return `Map of ${count} offtakes; none of them in view.`;
  return `Map of ${count} offtakes; ${inView} in view, ${firstCode} ranked highest among them.`;
}

/** One offtake in one sentence. */
export function siteSentence(lossShare: number, overlap: number): string {
  if (lossShare === 0) return "No loss is laid to it in the years used.";
  return (
    `It makes ${percent(lossShare)} of the loss to pumps; its draw and the passing young ` +
    `overlap by ${percent(overlap)} over the year.`
  );
}

const KINDS: Readonly<Record<string, string>> = {
  rail_suction: "Pump on rails",
  fixed_suction: "Fixed pump",
  floating_suction: "Floating pump",
  gravity_channel: "Gravity channel",
};

export function kindWords(kind: string): string {
  return KINDS[kind] ?? kind;
}

/** "cod, perch and gudgeon". */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words[0] ?? "";
  return `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}

export interface SpendingSoFar {
  readonly spent: number | null;
  readonly insideCount: number;
  readonly passedOver: number;
  readonly shortBy: number;
  readonly privateCosts: number;
}

/** What stands on the line between inside and outside. */
export function budgetLine({ spent, shortBy, insideCount, passedOver }: SpendingSoFar, budget: number, currency: string): string {
  const unit = currency ? ` ${currency}` : "";
  if (shortBy > 0) return "nothing is funded: the accepted offtakes alone cost more than the budget";
  if (insideCount === 0 && passedOver === 0) return "no offtake can be funded in this round";
  return `budget ends here: ${shortMoney(spent ?? 0)} of ${shortMoney(budget)}${unit}`;
}

/** What is left of the budget, or why there is no set. */
export function whatIsLeft({ spent, shortBy, passedOver, privateCosts }: SpendingSoFar, budget: number, currency: string): string {
  const unit = currency ? ` ${currency}` : "";
  if (shortBy > 0) {
    return `The accepted offtakes alone cost ${shortMoney(budget + shortBy)}${unit}, ${shortMoney(shortBy)} more than the budget: nothing is funded.`;
  }
  const left = `${shortMoney(Math.max(0, budget - (spent ?? 0)))}${unit} is left`;
  const passed = passedOver === 1 ? "the one that is passed over" : `the ${decimals(passedOver, 0)} that are passed over`;
  const rest = passedOver === 0 ? "; every offtake that may be funded is inside." : `, too little for ${passed}.`;
  const hidden = privateCosts === 0 ? "" : ` ${offtakeCount(privateCosts)} with a private quote ${privateCosts === 1 ? "is" : "are"} not counted.`;
  return left + rest + hidden;
}
