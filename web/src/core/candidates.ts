// What order and set are worked out from, read once from the answer into plain columns.
import type { CatchmentFacts, Offtakes } from "../wire/contract.ts";
import { COMMITTED, NOT_FUNDABLE } from "./fund.ts";
import { placesOf } from "./rank.ts";
import type { Weights } from "./weights.ts";

export interface Candidates {
  readonly count: number;
  /** Criteria this viewer may see, in order, and their millionths by row. */
  readonly names: readonly string[];
  readonly values: readonly Int32Array[];
  /** Whether the score rests on something this viewer may not see. */
  readonly partlyHidden: boolean;
  readonly given: { readonly order: Int32Array; readonly score: Int32Array; readonly weights: Weights };
  /** Rows in the order that decides between equal scores. */
  readonly tieRows: Int32Array;
  readonly seesCosts: boolean;
  readonly fundState: Uint8Array;
  /** To the fund; NaN where there is none or it may not be seen. */
  readonly fundCost: Float64Array;
  readonly fundCostLeast: Float64Array;
  readonly committedRows: Int32Array;
  /** Offtakes that may be funded at a cost this viewer may not see. */
  readonly privateCosts: number;
  /** Share of the whole loss, 0..1, that a row's best screen avoids in the mean of the years. */
  readonly gainShare: Float64Array;
}

const MILLION = 1e6;

/** `weights` are those the trial starts from. */
export function makeCandidates(facts: CatchmentFacts, offtakes: Offtakes, weights: Weights): Candidates {
  const { count } = offtakes;
  const names = Object.keys(weights);
  const columns = names.map((name) => offtakes.criteria[name] ?? []);
  const hidden = Object.entries(facts.weights).some(([name, weight]) => weight > 0 && !names.includes(name));
  const fundState = Uint8Array.from(offtakes.fund_state ?? new Array<number>(count).fill(0));
  const fundCost = numbers(offtakes.fund_cost, count);
  const least = numbers(offtakes.fund_cost_least, count);
  const committed = [...fundState.keys()].filter((row) => fundState[row] === COMMITTED && !Number.isNaN(fundCost[row]));
  const rank = Int32Array.from(offtakes.rank, (place) => place - 1);
  return {
    count,
    names,
    values: columns.map((column) => Int32Array.from(column, (value) => value ?? 0)),
    partlyHidden: hidden || columns.some((column) => column.includes(null)),
    given: { order: placesOf(rank), score: Int32Array.from(offtakes.score), weights },
    tieRows: placesOf(Int32Array.from(offtakes.tie_order)),
    seesCosts: offtakes.fund_state !== undefined && offtakes.fund_cost !== undefined,
    fundState,
    fundCost,
    fundCostLeast: least.map((cost, row) => (Number.isNaN(cost) ? (fundCost[row] ?? NaN) : cost)),
    committedRows: Int32Array.from(committed),
    privateCosts: offtakes.fund_cost ? [...fundState.keys()].filter((row) => fundState[row] !== NOT_FUNDABLE && Number.isNaN(fundCost[row])).length : 0,
    gainShare: Float64Array.from(offtakes.gain_share, (share) => share / MILLION),
  };
}

function numbers(column: readonly (number | null)[] | undefined, count: number): Float64Array {
  if (!column) return new Float64Array(count).fill(NaN);
  return Float64Array.from(column, (value) => value ?? NaN);
}
