// What the service is asked about a budget: the trial in the words of the wire, and when two questions
// are the same.
import type { FundAsked } from "../wire/fund.ts";
import { reasoned, type TrialState } from "./trial.ts";

/** `besideRows`: rows the list by score funds just now. */
export function askedOf(trial: TrialState, besideRows: readonly number[]): FundAsked {
  return {
    budget: trial.budget ?? 0,
    kept_in: reasoned(trial.keptIn),
    left_out: reasoned(trial.leftOut),
    district_least: trial.districtLeast,
    district_most: trial.districtMost,
    most_installs: trial.mostInstalls,
    ...(trial.together.length ? { together: trial.together } : {}),
    beside: besideRows,
  };
}

/** Equal for questions with the same best set. */
export function setKey(asked: FundAsked): string {
  return JSON.stringify({ ...asked, beside: 0 });
}

/** Equal for questions with the same curve: hand choices hold along it, other conditions play no part. */
export function curveKey({ kept_in: keptIn, left_out: leftOut }: FundAsked): string {
  return JSON.stringify([keptIn, leftOut]);
}

export function besideKey({ beside }: FundAsked): string {
  return beside.join(" ");
}
