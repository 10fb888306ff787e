// Order, set and weights follow the methods page; every way to set a number leads to the same state.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Candidates } from "../src/core/candidates.ts";
import { afterKey, nudged, roundStep, snapped, typedNumber } from "../src/core/dials.ts";
import { find } from "../src/core/find.ts";
import { LINE, listingOf } from "../src/core/listing.ts";
import { LossesShown } from "../src/core/losses_shown.ts";
import { CLOSE_IN, DASH, FILLED, RING } from "../src/core/marks.ts";
import { atLeastPercent, figures, shortMoney } from "../src/core/numbers.ts";
import { withCloseCalls, workOut } from "../src/core/by_score.ts";
import { LiveOutcome } from "../src/core/outcome.ts";
import { ordered, placesOf, scores } from "../src/core/rank.ts";
import { budgetLine, fundGlance, whatIsLeft, whoseLoss } from "../src/core/sentences.ts";
import { SHOWN_AT_FIRST, Trial, type TrialState, UNCONDITIONED } from "../src/core/trial.ts";
import { inUnit, UNITS } from "../src/core/units.ts";
import { weightsOf, withWeight } from "../src/core/weights.ts";
import type { Losses, Offtakes } from "../src/wire/contract.ts";

const START: TrialState = {
  weights: { risk: 600, overlap: 100, cost: 300 },
  budget: 100,
  way: "score",
  ...UNCONDITIONED,
  ...SHOWN_AT_FIRST,
};

/** Four offtakes: 0 committed, 1 and 2 alike but for the tie, 3 built. */
function candidates(part: Partial<Candidates> = {}): Candidates {
  const risk = [100_000, 500_000, 500_000, 900_000];
  return {
    count: 4,
    names: ["risk", "overlap", "cost"],
    values: [risk, risk, risk].map((column) => Int32Array.from(column)),
    partlyHidden: false,
    given: { order: Int32Array.of(0, 1, 2, 3), score: new Int32Array(4), weights: START.weights },
    tieRows: Int32Array.of(3, 2, 1, 0),
    seesCosts: true,
    fundState: Uint8Array.of(2, 1, 1, 0),
    fundCost: Float64Array.of(40, 50, 60, NaN),
    fundCostLeast: Float64Array.of(30, NaN, NaN, NaN),
    committedRows: Int32Array.of(0),
    privateCosts: 0,
    gainShare: Float64Array.of(0.1, 0.2, 0.3, 0.4),
    ...part,
  };
}

test("a higher score stands first, and equal scores stand as the wire says", () => {
  const score = Int32Array.of(5, 1_000_000_000, 5, 0, 999_999_999);
  assert.deepEqual([...ordered(score, Int32Array.of(3, 2, 0, 1, 4))], [1, 4, 2, 0, 3]);
  assert.deepEqual([...placesOf(Int32Array.of(2, 0, 1), 1)], [2, 3, 1]);
  const values = [Int32Array.of(1_000_000, 0), Int32Array.of(1_000_000, 7)];
  assert.deepEqual([...scores(values, [600, 400], 2)], [1_000_000_000, 2800]);
});

test("committed offtakes come first, then rank while the cost fits; what does not fit is passed over", () => {
  const now = workOut(candidates(), START);
  assert.deepEqual([...now.order], [3, 2, 1, 0]);
  assert.deepEqual([...now.inside], [1, 0, 1, 0]);
  assert.deepEqual([...now.marks], [FILLED, RING, FILLED, DASH]);
  const told = withCloseCalls(candidates(), START, now);
  assert.deepEqual([...told.marks], [FILLED, RING, CLOSE_IN, DASH]); // at 66 the third would not fit
  assert.equal(now.spent, 100);
  assert.equal(now.passedOver, 1);
  assert.ok(Math.abs(now.avoidedShare - 0.4) < 1e-12);
});

test("committed ones fall back to their cheapest, and where even that is too dear there is no set", () => {
  const least = workOut(candidates(), { ...START, budget: 35 });
  assert.equal(least.spent, 30);
  const none = workOut(candidates(), { ...START, budget: 20 });
  assert.equal(none.shortBy, 10);
  assert.equal(none.insideCount, 0);
  const words = whatIsLeft({ ...none, shortBy: 10_000 }, 20_000, "CDL");
  assert.match(words, /cost 30,000 CDL, 10,000 more than the budget/);
});

test("who may not see costs gets the given order until a weight is moved, and no line", () => {
  const of = candidates({ partlyHidden: true, seesCosts: false });
  const given = workOut(of, { ...START, budget: null });
  assert.deepEqual([...given.order], [0, 1, 2, 3]);
  assert.equal(given.spent, null);
  const moved = workOut(of, { ...START, budget: null, weights: { risk: 500, overlap: 200, cost: 300 } });
  assert.deepEqual([...moved.order], [3, 2, 1, 0]);
});

test("weights always sum to 1000 and keep the others' proportion", () => {
  assert.deepEqual(withWeight(START.weights, "risk", 200), { risk: 200, overlap: 200, cost: 600 });
  assert.deepEqual(withWeight({ a: 0, b: 0, c: 1000 }, "c", 999), { a: 1, b: 0, c: 999 });
  assert.deepEqual(withWeight({ a: 1000 }, "a", 3), { a: 1000 });
  assert.deepEqual(weightsOf(START.weights, ["risk", "overlap"]), { risk: 857, overlap: 143 });
  for (let at = 0; at <= 1000; at += 7) {
    const sum = Object.values(withWeight(START.weights, "overlap", at)).reduce((a, b) => a + b, 0);
    assert.equal(sum, 1000);
  }
});

test("where a weight arrives does not depend on the way there", () => {
  const [stepwise, atOnce] = [new Trial(START), new Trial(START)];
  for (let at = 600; at >= 0; at -= 1) stepwise.weigh("risk", at);
  for (let at = 0; at <= 333; at += 3) stepwise.weigh("risk", at);
  atOnce.weigh("risk", 333);
  assert.deepEqual(stepwise.now, atOnce.now);
});

test("a trial tells once a change, and the outcome follows only what decides", () => {
  const trial = new Trial(START);
  const live = new LiveOutcome(candidates(), trial);
  let told = 0;
  const stop = live.onChange(() => (told += 1));
  trial.change({ unit: "cfs" });
  trial.change({ weights: { ...START.weights } });
  assert.equal(told, 0);
  trial.change({ budget: 1000 });
  assert.equal(told, 1);
  assert.equal(live.now.insideCount, 3);
  stop();
  live.dispose();
  trial.change({ budget: 0 });
  assert.equal(told, 1);
  assert.equal(live.now.insideCount, 3);
});

test("inside stands first, then the line, then the others, each in order of rank", () => {
  const { rowAt, placeOf } = listingOf(Int32Array.of(3, 2, 1, 0), Uint8Array.of(1, 0, 1, 0), true);
  assert.deepEqual([...rowAt], [2, 0, LINE, 3, 1]);
  assert.deepEqual([...placeOf], [1, 4, 0, 3]);
});

test("one ML/d is 11.6 L/s, 0.0116 m3/s and 0.409 cfs", () => {
  const shown = UNITS.map((unit) => figures(inUnit(1 / 86.4, unit), 3));
  assert.deepEqual(shown, ["1.00", "11.6", "0.0116", "0.409"]);
});

test("buttons and keys go to the next whole step, a drag to the nearest", () => {
  const scale = { least: 0, most: 1000, step: 10 };
  assert.equal(nudged(125, 1, scale), 130);
  assert.equal(nudged(125, -1, scale), 120);
  assert.equal(nudged(120, 1, scale), 130);
  assert.equal(snapped(126.2, scale), 130);
  assert.deepEqual(["ArrowUp", "PageDown", "Home", "End", "a"].map((key) => afterKey(key, 995, scale)), [1000, 900, 0, 1000, null]);
  assert.equal(roundStep(5_601_168, 300), 20_000);
});

test("amounts are read as people type them", () => {
  assert.deepEqual(["2,500,000", "2.5 M", "60 %", "12 k", "1 thousand"].map(typedNumber), [2_500_000, 2_500_000, 60, 12_000, 1000]);
  assert.deepEqual(["", "much", "1.2.3", "-5"].map(typedNumber), [null, null, null, null]);
});

test("an offtake is found by code, label, river or district, the code first", () => {
  const all = [
    { code: "LN-012", texts: ["Wick Lane pump", "Lantern", "Kindle"] },
    { code: "LN-120", texts: ["", "Long 12 Creek", ""] },
  ];
  const rows = (words: string): number[] => find(all, words, Int32Array.of(1, 0), 8).map(({ row }) => row);
  assert.deepEqual(rows("ln 012"), [0]);
  assert.deepEqual(rows("12"), [1, 0]);
  assert.deepEqual(rows("WICK"), [0]);
  assert.deepEqual(rows("kindle"), [0]);
  assert.deepEqual(rows("nowhere"), []);
  assert.deepEqual(rows(" - "), []);
});

test("the sentences round money as spent, shares never upwards, and say whose loss", () => {
  assert.equal(shortMoney(2_480_000), "2.48\u00a0M");
  assert.equal(shortMoney(248_440), "248,400");
  assert.deepEqual([0.6199, 0.0499, 0.00129, 1, 0].map(atLeastPercent), ["61\u00a0%", "4.9\u00a0%", "0.12\u00a0%", "100\u00a0%", "0\u00a0%"]);
  const spending = { count: 41, spent: 2_480_000, budget: 2_500_000, avoidedShare: 0.62, currency: "CDL", whose: "" };
  assert.equal(fundGlance(spending), "41 offtakes, 2.48\u00a0M of 2.50\u00a0M CDL, avoiding at least 62\u00a0% of the loss to pumps");
  assert.equal(whoseLoss("dry", "Snuffer cod"), "of Snuffer cod in dry years");
  assert.equal(whoseLoss("mean", ""), "");
  const none = { spent: 0, insideCount: 0, passedOver: 0, shortBy: 0, privateCosts: 0 };
  assert.equal(budgetLine(none, 100, "CDL"), "no offtake can be funded in this round");
});

test("another view is stale until it comes, stays away when it fails, and is asked for once", async () => {
  const offtakes = { loss_share: [1], risk: [2], gain_share: [3] } as unknown as Offtakes;
  const trial = new Trial(START);
  let asked = 0;
  let fail = true;
  const losses = new LossesShown(offtakes, trial, (year, guild) => {
    asked += 1;
    if (fail) return Promise.reject(new Error("gone"));
    return Promise.resolve({ year, guild, loss_share: [4], risk: [5], gain_share: [6] } satisfies Losses);
  });
  trial.change({ year: "dry" });
  assert.deepEqual([losses.now.stale, losses.now.year, losses.now.lossShare], [true, "mean", [1]]);
  await Promise.resolve();
  await Promise.resolve();
  assert.equal(losses.now.trouble, "gone");
  fail = false;
  losses.again();
  await Promise.resolve();
  await Promise.resolve();
  assert.deepEqual([losses.now.stale, losses.now.year, losses.now.lossShare], [false, "dry", [4]]);
  trial.change({ year: "mean" });
  assert.deepEqual(losses.now.lossShare, [1]);
  trial.change({ year: "dry" });
  assert.equal(asked, 2);
  losses.dispose();
});
