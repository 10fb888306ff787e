// Offers to landholders: what was done when, for how much, and who comes in when one declines.
import { ask } from "./ask.ts";
import type { FundAsked } from "./fund.ts";

export const STEPS = ["offered", "accepted", "declined", "built", "note"] as const;
export type StepName = (typeof STEPS)[number];

/** Where an approval stands; "" where nobody has said. */
export const APPROVALS = ["", "not_needed", "to_do", "asked", "given", "refused"] as const;

export interface OfferStep {
  readonly id: string;
  readonly code: string;
  readonly step: StepName;
  /** The day, ISO. */
  readonly on: string;
  readonly committed: number | null;
  readonly spent: number | null;
  readonly works_approval: string;
  readonly heritage: string;
  readonly words: string;
  readonly by: string;
  readonly at: string;
}

export interface Offer {
  readonly code: string;
  readonly status: string;
  readonly steps: readonly OfferStep[];
  readonly committed: number | null;
  /** What the list counts for it while it is accepted; null otherwise. */
  readonly counted: number | null;
  /** Said where no quote holds an accepted one to a screen; "" where one does. */
  readonly screen_note: string;
  readonly spent: number | null;
  readonly works_approval: string;
  readonly heritage: string;
  /** What is to be done next, in words. */
  readonly next: string;
  readonly warnings: readonly string[];
}

export interface Offers {
  readonly offers: readonly Offer[];
  readonly committed_total: number;
  readonly spent_total: number;
  /** Of the accepted that have a sum committed and one counted, both; and how many lack one. */
  readonly accepted_committed: number;
  readonly accepted_counted: number;
  readonly accepted_unmatched: number;
}

export interface StepAsked {
  readonly code: string;
  readonly step: StepName;
  readonly on: string;
  readonly committed?: number;
  readonly spent?: number;
  readonly works_approval?: string;
  readonly heritage?: string;
  readonly words?: string;
  readonly by?: string;
}

export interface ReserveAsked extends FundAsked {
  readonly code: string;
  /** By score the set is `beside`. */
  readonly way: "score" | "best";
}

export interface Reserve {
  readonly code: string;
  readonly enters: readonly { readonly code: string; readonly cost: number; readonly gain_adults: number }[];
  readonly leaves: readonly { readonly code: string; readonly cost: number; readonly gain_adults: number }[];
  readonly benefit_adults: number;
  readonly spent: number;
  readonly sentence: string;
}

export function fetchOffers(): Promise<Offers> {
  return ask("/api/offers");
}

export function sendStep(step: StepAsked & { readonly id: string }): Promise<{ readonly revision: number }> {
  return ask("/api/offers", undefined, { method: "POST", body: step });
}
