// Every state that was tried, one step after the other, and where one stands among them. A slider that
// is dragged or a key that is held is one step.
import { DECIDING, isSame, type TrialState } from "./trial.ts";

const STEPPED = [...DECIDING, "unit", "year", "guild"] as const;

/** What one step takes back: what decides, and whose numbers are shown in which unit. */
export type Step = Pick<TrialState, (typeof STEPPED)[number]>;

export interface Steps {
  readonly all: readonly Step[];
  /** The one that stands. */
  readonly at: number;
}

/** So many can be taken back. */
export const MOST_STEPS = 250;

export function stepOf(trial: TrialState): Step {
  return Object.fromEntries(STEPPED.map((name) => [name, trial[name]])) as unknown as Step;
}

export function begun(first: Step): Steps {
  return { all: [first], at: 0 };
}

export function standing({ all, at }: Steps): Step {
  return all[at] as Step;
}

/** The next step; what had been taken back before it is forgotten. `going` moves the last one on. */
export function stepped(steps: Steps, next: Step, going: boolean): Steps {
  if (isSame(standing(steps), next)) return steps;
  const tip = steps.at === steps.all.length - 1;
  const from = going && tip && steps.at > 0 ? steps.at : unmoved(steps) + 1;
  const all = [...steps.all.slice(0, from), next].slice(-(MOST_STEPS + 1));
  return { all, at: all.length - 1 };
}

/** The same steps where there is nothing to take back. */
export function undone(steps: Steps): Steps {
  const at = unmoved(steps) - 1;
  return at < 0 ? steps : { ...steps, at };
}

export function redone(steps: Steps): Steps {
  return canRedo(steps) ? { ...steps, at: steps.at + 1 } : steps;
}

export function canUndo(steps: Steps): boolean {
  return unmoved(steps) > 0;
}

export function canRedo({ all, at }: Steps): boolean {
  return at < all.length - 1;
}

/** Where one stands, less a movement that came back to where it began. */
function unmoved({ all, at }: Steps): number {
  return at > 0 && isSame(all[at], all[at - 1]) ? at - 1 : at;
}

const WORDS: Readonly<Record<keyof Step, string>> = {
  weights: "weights",
  budget: "budget",
  way: "way to spend",
  keptIn: "hand choice",
  leftOut: "hand choice",
  districtLeast: "condition",
  districtMost: "condition",
  mostInstalls: "condition",
  together: "condition",
  unit: "unit",
  year: "years",
  guild: "fish",
};

/** What differs between two steps: "budget", "weights and budget". */
export function differenceWords(one: Step, other: Step): string {
  const names = STEPPED.filter((name) => !isSame(one[name], other[name])).map((name) => WORDS[name]);
  return [...new Set(names)].join(" and ");
}

export function stepsText(steps: Steps): string {
  return JSON.stringify(steps);
}

/** Null where the text holds no steps of this catchment's criteria. */
export function stepsRead(text: string | null, like: Step): Steps | null {
  try {
    const { all, at } = JSON.parse(text ?? "null") as Steps;
    return all.every((each) => isStep(each, like)) && all[at] ? { all, at } : null;
  } catch {
    return null; // kept by another edition of the page
  }
}

export function isStep(value: unknown, like: Step): value is Step {
  if (typeof value !== "object" || !value || !STEPPED.every((name) => name in value)) return false;
  const names = Object.keys((value as Step).weights);
  return names.length === Object.keys(like.weights).length && names.every((name) => name in like.weights);
}
