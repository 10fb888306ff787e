// The parts of one offtake's score as the page holds them, with the weights of the moment.
import { type Criterion, type ScorePart, scoreParts } from "./why_parts.ts";

type Weights = Readonly<Record<string, number>>;

/** What is needed of the catchment and its table of offtakes. */
export interface CriteriaTold {
  readonly facts: {
    readonly weights: Weights;
    readonly criteria: readonly { readonly name: string; readonly label: string }[];
  };
  readonly offtakes: {
    readonly criteria: Readonly<Record<string, readonly (number | null)[]>>;
  };
}

/**
 * The parts that sum to a score. Where the weights tried leave out what this viewer may not see and
 * do not make the score, it is the service's own, made with the catchment's weights: the rest then
 * comes from what is not seen.
 */
export function partsOf(told: CriteriaTold, row: number, weights: Weights, score: number): ScorePart[] {
  const tried = criteriaWith(told, row, weights);
  const seen = tried.reduce((sum, each) => sum + (each.millionths ?? 0) * each.weightThousandths, 0);
  const hides = tried.some((each) => each.millionths === null && each.weightThousandths > 0);
  return scoreParts(hides || seen === score ? tried : criteriaWith(told, row, told.facts.weights), score);
}

function criteriaWith({ facts, offtakes }: CriteriaTold, row: number, weights: Weights): Criterion[] {
  return facts.criteria
    .filter(({ name }) => weights[name] !== undefined)
    .map(({ name, label }) => ({
      name,
      label,
      millionths: offtakes.criteria[name]?.[row] ?? null,
      weightThousandths: weights[name] ?? 0,
    }));
}
