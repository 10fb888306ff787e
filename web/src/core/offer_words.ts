// The follow-up of offers in words: steps, money, approvals, what comes next.
import type { Offer, OfferStep, Offers, StepName } from "../wire/offers.ts";
import { decimals, longDate, money } from "./numbers.ts";

export const STEP_WORDS: Readonly<Record<StepName, string>> = {
  offered: "Offered",
  accepted: "Accepted",
  declined: "Declined",
  built: "Built",
  note: "Note",
};

export const APPROVAL_WORDS: Readonly<Record<string, string>> = {
  "": "not said",
  not_needed: "not needed",
  to_do: "to be asked for",
  asked: "asked for",
  given: "given",
  refused: "refused",
};

/** "Offered on 3 March 2026, 24,000 CDL committed". */
export function stepWords({ step, on, committed, spent }: OfferStep, currency: string): string {
  const sums = [
    ...(committed === null ? [] : [`${money(committed, currency)} committed`]),
    ...(spent === null ? [] : [`${money(spent, currency)} spent`]),
  ];
  return [`${STEP_WORDS[step]} on ${longDate(on)}`, ...sums].join(", ");
}

/** "Works approval asked for; heritage not needed." */
export function approvalWords({ works_approval: works, heritage }: Pick<Offer, "works_approval" | "heritage">): string {
  return `Works approval ${APPROVAL_WORDS[works] ?? works}; heritage ${APPROVAL_WORDS[heritage] ?? heritage}.`;
}

/** Steps that can follow where an offer stands, the likeliest first. */
export function stepsAfter(status: string): readonly StepName[] {
  switch (status) {
    case "offered":
      return ["accepted", "declined", "note"];
    case "accepted":
      return ["built", "declined", "note"];
    case "built":
      return ["note"];
    case "declined":
      return ["offered", "note"];
    default:
      return ["offered", "note"];
  }
}

/** "52,000 committed, 48,000 counted: 4,000 above"; what is committed is a ledger of its own. */
export function besideCounted(committed: number, counted: number): string {
  const [one, other] = [Math.round(committed), Math.round(counted)];
  const apart = one - other;
  const both = `${decimals(one, 0)} committed, ${decimals(other, 0)} counted`;
  return apart === 0 ? `${both}: the same` : `${both}: ${decimals(Math.abs(apart), 0)} ${apart > 0 ? "above" : "below"}`;
}

/** The same of one offer; "" where there is nothing to set side by side. */
export function countedWords({ committed, counted }: Pick<Offer, "committed" | "counted">): string {
  if (counted === null) return "";
  return committed === null ? `no sum committed, ${decimals(Math.round(counted), 0)} counted` : besideCounted(committed, counted);
}

/** What the list counts for the accepted, beside what is committed to them. */
export function ledgerWords({ accepted_committed: committed, accepted_counted: counted, accepted_unmatched: unmatched }: Offers): string {
  const told = committed || counted ? [`Of those accepted: ${besideCounted(committed, counted)}. The budget is spent on what is counted.`] : [];
  return [...told, ...(unmatched ? [`${unmatched} accepted ${unmatched === 1 ? "has" : "have"} no sum committed, or none counted.`] : [])].join(" ");
}

export function totalsWords({ offers, committed_total: committed, spent_total: spent }: Offers, currency: string): string {
  if (!offers.length) return "No offer has been made yet.";
  const count = offers.length === 1 ? "1 offtake" : `${offers.length} offtakes`;
  return `${count} with an offer: ${money(committed, currency)} committed to those accepted or built, ${money(spent, currency)} spent.`;
}
