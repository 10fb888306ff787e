// The best set on the page: asked when the question rests, stale in the moment the question is another,
// given up when it is no longer wanted; and what is said of it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { askedOf } from "../src/core/asked.ts";
import { BestFunding } from "../src/core/best_funding.ts";
import { curveShape, valueAt } from "../src/core/curve_shape.ts";
import { Demand } from "../src/core/demand.ts";
import { clashWords, closeWords, promise, staleWords } from "../src/core/fund_words.ts";
import { LongWork } from "../src/core/long_work.ts";
import { fundGlance } from "../src/core/sentences.ts";
import { SHOWN_AT_FIRST, type TrialState, UNCONDITIONED } from "../src/core/trial.ts";
import type { BestSet, Curve, FundAsked } from "../src/wire/fund.ts";
import type { Work, WorkCalls } from "../src/wire/work.ts";

const TRIAL: TrialState = { weights: { risk: 1000 }, budget: 100, way: "best", ...UNCONDITIONED, ...SHOWN_AT_FIRST };

function answerTo({ budget }: FundAsked, part: Partial<BestSet> = {}): BestSet {
  return {
    budget, spent: budget, upkeep_per_year: 1, benefit_adults: 10, benefit_share: 0.5, upper_bound_adults: 10, gap: 0,
    final: true, rows: [0], options: [0], costs: [budget], beside: null, price_adults_per_1000: 1, left_out: [],
    sentence: "No other set does better.", close_calls: [], ...part,
  };
}

const MOST_LOOKS = 30;

/** A service in the test's hand: `steps` are what a work says, one after the other. */
class Service implements WorkCalls<FundAsked, BestSet> {
  readonly begun: FundAsked[] = [];
  readonly stopped: string[] = [];
  steps: (asked: FundAsked) => readonly Partial<Work<BestSet>>[] = (asked) => [{}, { state: "done", answer: answerTo(asked) }];
  refusal: Error | null = null;
  readonly #said = new Map<string, number>();

  begin = async (asked: FundAsked): Promise<Work<BestSet>> => {
    this.begun.push(asked);
    if (this.refusal) throw this.refusal;
    return this.#step(String(this.begun.length - 1), asked);
  };
  read = async (id: string): Promise<Work<BestSet>> => this.#step(id, this.begun[Number(id)] as FundAsked);
  stop = async (id: string): Promise<void> => void this.stopped.push(id);

  #step(id: string, asked: FundAsked): Work<BestSet> {
    const at = this.#said.get(id) ?? 0;
    this.#said.set(id, at + 1);
    const steps = this.steps(asked);
    if (at > MOST_LOOKS) throw new Error("looked at for too long");
    return { id, state: "working", done: at, total: steps.length, answer: null, error: null, ...steps[Math.min(at, steps.length - 1)] };
  }
}

const rest = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

function asked(part: Partial<TrialState> = {}, beside: number[] = [1]): FundAsked {
  return askedOf({ ...TRIAL, ...part }, beside);
}

test("nothing is asked until the best set is wanted; a new budget is stale at once and asked when it rests", async () => {
  const service = new Service();
  const best = new BestFunding(new LongWork(service));
  best.consider(asked(), false);
  await rest(30);
  assert.equal(service.begun.length, 0);
  best.consider(asked(), true);
  await rest(200);
  assert.deepEqual([best.now.stale, best.now.looking, best.now.answer?.budget], [false, false, 100]);
  for (const budget of [101, 102, 103]) {
    best.consider(asked({ budget }), true);
    assert.deepEqual([best.now.stale, best.now.looking, best.now.answer?.budget], [true, true, 100]);
  }
  await rest(600);
  assert.deepEqual(service.begun.map(({ budget }) => budget), [100, 103]);
  assert.equal(best.now.answer?.budget, 103);
  best.dispose();
});

test("a list by score that moved leaves the search running and is asked after it", async () => {
  const service = new Service();
  service.steps = (of) => [{}, {}, { state: "done", answer: answerTo(of) }];
  const best = new BestFunding(new LongWork(service));
  best.consider(asked(), true);
  await rest(60);
  best.consider(asked({}, [2]), true);
  await rest(300);
  assert.deepEqual(service.stopped, []);
  assert.deepEqual([best.now.stale, best.now.besideStale], [false, true]);
  await rest(700);
  assert.deepEqual(service.begun.map(({ beside }) => beside), [[1], [2]]);
  assert.equal(best.now.besideStale, false);
  best.dispose();
});

test("a first answer counts and is not final; told to stop, the work ends and what is known stays", async () => {
  const service = new Service();
  service.steps = (of) => [{}, { answer: answerTo(of, { final: false, gap: 0.0006 }) }];
  const best = new BestFunding(new LongWork(service));
  best.consider(asked(), true);
  await rest(300);
  assert.deepEqual([best.now.stale, best.now.answer?.final, best.now.looking], [false, false, true]);
  assert.match(promise(best.now.answer as BestSet), /at most 0\.060?\u00a0% more is possible; still looking/);
  best.stop();
  assert.deepEqual([best.now.looking, best.now.work.state], [false, "stopped"]);
  assert.deepEqual(service.stopped, ["0"]);
  await rest(300);
  assert.equal(service.begun.length, 1);
  best.again();
  assert.equal(service.begun.length, 2);
  best.dispose();
  assert.equal(best.now.work.state, "idle");
});

test("a refusal is told with its status, and taking the choice back needs no new answer", async () => {
  const service = new Service();
  const best = new BestFunding(new LongWork(service));
  best.consider(asked(), true);
  await rest(200);
  service.refusal = Object.assign(new Error("A is built"), { status: 422, clash: [] });
  best.consider(asked({ keptIn: { A: "why not" } }), true);
  await rest(400);
  assert.deepEqual([best.now.work.trouble?.message, best.now.work.trouble?.status, best.now.stale], ["A is built", 422, true]);
  best.consider(asked(), true);
  await rest(400);
  assert.deepEqual([service.begun.length, best.now.stale, best.now.work.state], [2, false, "idle"]);
  best.dispose();
});

test("what is worked out on demand is kept, and stale once the question is another", async () => {
  const service = new Service();
  const demand = new Demand<FundAsked, BestSet>(new LongWork(service), ({ budget }) => String(budget));
  demand.consider(asked());
  assert.equal(service.begun.length, 0);
  demand.ask();
  await rest(200);
  assert.deepEqual([demand.now.stale, demand.now.answer?.budget], [false, 100]);
  demand.consider(asked({}, [7]));
  assert.equal(demand.now.stale, false);
  demand.consider(asked({ budget: 5 }));
  assert.deepEqual([demand.now.stale, demand.now.answer?.budget, service.begun.length], [true, 100, 1]);
  demand.dispose();
});

test("the sentences say what is shown, what is looked for and what clashes", () => {
  const glance = fundGlance({ count: 41, spent: 2.48e6, budget: 2.5e6, avoidedShare: 0.617, currency: "CDL", whose: "", together: true, after: closeWords(6) });
  assert.equal(glance.replaceAll("\u00a0", " "), "41 offtakes, 2.48 M of 2.50 M CDL, avoiding 62 % of the loss to pumps; 6 close calls");
  assert.equal(closeWords(1), "; 1 close call");
  const now = { answer: null, stale: true, besideStale: true, looking: true, work: { state: "working", done: 0, total: 0, answer: null, trouble: null } } as const;
  assert.match(staleWords({ ...now, of: asked() }, asked({ budget: 20_000 }), "CDL"), /best set for 20,000.CDL; shown is still the set for 100.CDL/);
  assert.match(staleWords({ ...now, of: asked() }, asked({ leftOut: { A: "no" } }), ""), /for these choices; shown is still the set before them/);
  assert.match(clashWords({ rule: "district Upper Wick least", short_by: 120_000 }, "CDL"), /for Upper Wick: 120,000.CDL short/);
  assert.match(clashWords({ rule: "most installs", short_by: 2 }, "CDL"), /2 more/);
  assert.match(clashWords({ rule: "committed", short_by: 5000 }, ""), /5,000 more than the budget/);
});

test("the curve meets its field's corners and reads the same both ways", () => {
  const curve: Curve = {
    budgets: [50, 100, 200],
    best: { benefit_share: [0.2, 0.3, 0.4], upper_share: [0.2, 0.31, 0.4], gap: [0, 0.03, 0], count: [1, 2, 3] },
    others: [{ name: "score", words: "By score", benefit_share: [0.1, null, 0.3] }],
    priority: { rows: [], options: [], cost: [], adults_per_1000: [] },
  };
  const shape = curveShape(curve, { left: 10, top: 5, width: 400, height: 100 });
  assert.deepEqual([shape.xOf(0), shape.xOf(200), shape.yOf(0), shape.yOf(0.4)], [10, 410, 105, 5]);
  assert.match(shape.best, /^M110\.0 55\.0L210\.0 30\.0L410\.0 5\.0$/);
  assert.deepEqual([0, 30, 999].map((budget) => shape.budgetAt(shape.xOf(budget))), [0, 30, 200]);
  assert.equal(shape.others[0], "M110.0 80.0L410.0 30.0");
  assert.ok(Math.abs(valueAt(curve.budgets, curve.others[0]?.benefit_share ?? [], 100) - 1 / 6) < 1e-12);
  assert.deepEqual([25, 75, 200, 900].map((budget) => valueAt(curve.budgets, curve.best.benefit_share, budget)), [0.1, 0.25, 0.4, 0.4]);
});
