// A trial as a case keeps it, and back. What a case says of criteria or numbers that this page does not
// know is the data's own affair: a case is always shown on its own data.
import type { CaseHead, CaseTold, SavedTrial } from "../wire/cases.ts";
import { DECIDING, isSame, type TrialState, type Year } from "./trial.ts";
import { UNITS } from "./units.ts";
import { weightsOf } from "./weights.ts";

const YEARS: readonly Year[] = ["mean", "dry", "median", "wet"];

/** Only where every hand choice has its reason may a trial be saved. */
export function savedTrial(trial: TrialState, selected: string): SavedTrial {
  return {
    weights: trial.weights,
    budget: trial.budget ?? 0,
    way: trial.way,
    kept_in: trial.keptIn,
    left_out: trial.leftOut,
    district_least: trial.districtLeast,
    district_most: trial.districtMost,
    most_installs: trial.mostInstalls,
    together: trial.together,
    unit: trial.unit,
    year: trial.year,
    guild: trial.guild,
    selected,
  };
}

/** What a case shows; it holds. */
export function trialOfCase(saved: SavedTrial, start: TrialState): TrialState {
  return {
    ...start,
    weights: weightsOf(saved.weights, Object.keys(start.weights)),
    budget: start.budget === null ? null : saved.budget,
    way: saved.way,
    keptIn: saved.kept_in,
    leftOut: saved.left_out,
    districtLeast: saved.district_least,
    districtMost: saved.district_most,
    mostInstalls: saved.most_installs,
    together: saved.together,
    unit: UNITS.find((unit) => unit === saved.unit) ?? start.unit,
    year: YEARS.find((year) => year === saved.year) ?? start.year,
    guild: saved.guild,
    held: true,
  };
}

/** Whether a case keeps what is tried, on the same data; how it is shown aside. */
export function keeps({ trial: saved, data_version: version }: CaseTold, trial: TrialState, dataVersion: string): boolean {
  const kept = trialOfCase(saved, trial);
  return version === dataVersion && DECIDING.every((name) => isSame(kept[name], trial[name]));
}

/** Whether it may, as far as a list tells. */
export function mayKeep({ data_version: version, budget, way }: CaseHead, trial: TrialState, dataVersion: string): boolean {
  return version === dataVersion && budget === trial.budget && way === trial.way;
}

/** Codes chosen by hand whose reasons are not written yet. */
export function unreasoned({ keptIn, leftOut }: TrialState): string[] {
  return Object.entries({ ...keptIn, ...leftOut }).flatMap(([code, reason]) => (reason ? [] : [code]));
}
