// A page that is opened on a case: what the case keeps, and the banner that says so.
import { trialOfCase } from "../core/case_trial.ts";
import type { Desk } from "../core/desk.ts";
import type { Dispose } from "../core/dispose.ts";
import type { TrialState } from "../core/trial.ts";
import look from "../look/cases.css" with { type: "text" };
import { mountCaseBanner } from "../parts/case_banner.ts";
import { dress } from "../parts/dress.ts";
import { type CaseTold, fetchCase } from "../wire/cases.ts";

export interface OpenedCase {
  readonly told: CaseTold;
  /** What it keeps; it holds. */
  readonly trial: (start: TrialState) => TrialState;
  readonly mountBanner: (head: HTMLElement, desk: Desk, save: () => void) => Dispose;
}

export async function openCase(id: string): Promise<OpenedCase> {
  const told = await fetchCase(id);
  dress(look);
  return {
    told,
    trial: (start) => trialOfCase(told.trial, start),
    mountBanner: (head, desk, save) => mountCaseBanner(head, desk, told, desk.trial.start, save),
  };
}
