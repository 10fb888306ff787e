// A page that is opened on a case: what the case keeps, and the banner that says so.
import { caseCopied } from "../core/case_copied.ts";
import { trialOfCase } from "../core/case_trial.ts";
import type { Desk } from "../core/desk.ts";
import type { Dispose } from "../core/dispose.ts";
import type { TrialState } from "../core/trial.ts";
import look from "../look/cases.css" with { type: "text" };
import { mountCaseBanner } from "../parts/case_banner.ts";
import { dress } from "../parts/dress.ts";
import { mountBriefPart } from "../parts/follow_brief.ts";
import { type CaseTold, fetchCase } from "../wire/cases.ts";

export interface OpenedCase {
  readonly told: CaseTold;
  /** What it keeps; it holds. */
  readonly trial: (start: TrialState) => TrialState;
  /** Where offers are followed on the present data, the way to the landholder's brief. */
  readonly mountBrief: (host: HTMLElement, desk: Desk) => Dispose;
  readonly mountBanner: (head: HTMLElement, desk: Desk, save: () => void) => Dispose;
}

export async function openCase(id: string): Promise<OpenedCase> {
  const told = await fetchCase(id);
  dress(look);
  caseCopied.now = told;
  return {
    told,
    trial: (start) => trialOfCase(told.trial, start),
    mountBrief: (host, desk) => (desk.scene.offtakes.viewer === "lead" ? mountBriefPart(host, desk, told) : () => undefined),
    mountBanner: (head, desk, save) => mountCaseBanner(head, desk, told, desk.trial.start, save),
  };
}
