// Works out order and set of cases given on standard input, for the tests that hold them against the
// service's; and times a tick. Bundled by a test, never part of the page.
import { readFileSync } from "node:fs";
import type { Candidates } from "../src/core/candidates.ts";
import { withCloseCalls, workOut } from "../src/core/by_score.ts";
import { SHOWN_AT_FIRST, type TrialState, UNCONDITIONED } from "../src/core/trial.ts";

interface Case {
  readonly names: readonly string[];
  readonly values: readonly (readonly number[])[];
  readonly weights: readonly number[];
  readonly tie_rows: readonly number[];
  readonly state: readonly number[];
  readonly cost: readonly (number | null)[];
  readonly least: readonly (number | null)[];
  readonly budget: number;
}

const cases = JSON.parse(readFileSync(0, "utf8")) as readonly Case[];
const answers = cases.map((one) => {
  const [of, trial] = [candidatesOf(one), trialOf(one)];
  const now = workOut(of, trial);
  const inside = [...now.inside.keys()].filter((row) => now.inside[row]);
  const close = [...withCloseCalls(of, trial, now).close.keys()].sort((a, b) => a - b);
  return { order: [...now.order], score: [...now.score], inside, close, spent: now.spent, short_by: now.shortBy, tick_ms: tickMs(of, trial) };
});
process.stdout.write(JSON.stringify(answers));

function candidatesOf(one: Case): Candidates {
  const count = one.state.length;
  return {
    count,
    names: one.names,
    values: one.values.map((column) => Int32Array.from(column)),
    partlyHidden: false,
    given: { order: new Int32Array(count), score: new Int32Array(count), weights: {} },
    tieRows: Int32Array.from(one.tie_rows),
    seesCosts: true,
    fundState: Uint8Array.from(one.state),
    fundCost: Float64Array.from(one.cost, (cost) => cost ?? NaN),
    fundCostLeast: Float64Array.from(one.least, (cost) => cost ?? NaN),
    committedRows: Int32Array.from([...one.state.keys()].filter((row) => one.state[row] === 2)),
    privateCosts: 0,
    gainShare: new Float64Array(count),
  };
}

function trialOf(one: Case): TrialState {
  const weights = Object.fromEntries(one.names.map((name, i) => [name, one.weights[i] ?? 0]));
  return { weights, budget: one.budget, way: "score", ...UNCONDITIONED, ...SHOWN_AT_FIRST };
}

/** Middle of 21, for large cases alone. */
function tickMs(of: Candidates, trial: TrialState): number | null {
  if (of.count < 5000) return null;
  const times = Array.from({ length: 21 }, () => {
    const from = performance.now();
    workOut(of, trial);
    return performance.now() - from;
  });
  return times.sort((a, b) => a - b)[10] ?? null;
}
