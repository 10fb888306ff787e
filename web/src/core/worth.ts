// What a site gives for the fund's money, in the terms this catchment has: adults where production is
// counted, else shares of the loss.
import type { BestSet } from "../wire/fund.ts";
import type { CatchmentFacts } from "../wire/contract.ts";
import { figures } from "./numbers.ts";

type Counting = Pick<CatchmentFacts, "counted" | "currency">;

/** Adults that make the whole loss; NaN where a set gives nothing to tell it by. */
export function wholeAdults({ benefit_adults: adults, benefit_share: share }: BestSet): number {
  return share > 0 ? adults / share : NaN;
}

/** "1.2 % of the loss for 100,000 CDL", "4.1 adults a year for 1,000 CDL". */
export function worthForMoney(adultsPer1000: number, whole: number, { counted, currency }: Counting): string {
  const unit = currency || "of money";
  if (counted) return `${figures(adultsPer1000, 2)} adults a year for 1,000 ${unit}`;
  return `${figures((adultsPer1000 / whole) * 100 * 100, 2)}\u00a0% of the loss for 100,000 ${unit}`;
}

/** The figure alone, for a column with that unit in its head. */
export function worthFigure(adultsPer1000: number, whole: number, { counted }: Counting): string {
  return figures(counted ? adultsPer1000 : (adultsPer1000 / whole) * 100 * 100, 2);
}

export function worthUnit({ counted, currency }: Counting): string {
  return counted ? `adults a year per 1,000 ${currency || "of money"}` : `% of loss per 100,000 ${currency || "of money"}`;
}

/** An amount of adults by itself. */
export function worthText(adults: number, whole: number, { counted }: Counting): string {
  return counted ? `${figures(adults, 3)} adults` : `${figures((adults / whole) * 100, 2)}\u00a0% of the loss`;
}
