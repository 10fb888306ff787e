// Undo and redo of what is tried, and links that reopen it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { begun, differenceWords, MOST_STEPS, standing, stepOf, stepsRead, stepsText } from "../src/core/history.ts";
import { SHOWN_AT_FIRST, Trial, type TrialState, UNCONDITIONED } from "../src/core/trial.ts";
import { Undoing } from "../src/core/undoing.ts";
import { UNITS } from "../src/core/units.ts";

const START: TrialState = { weights: { risk: 600, overlap: 100, cost: 300 }, budget: 100, way: "score", ...UNCONDITIONED, ...SHOWN_AT_FIRST };

/** The same chance every time. */
function chances(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (Math.imul(state, 1_103_515_245) + 12_345) & 0x7fffffff;
    return (state >> 8) % below;
  };
}

/** One change of any kind, other than what stands. */
function changeAtRandom(trial: Trial, chance: (below: number) => number, serial: number): void {
  const { keptIn, leftOut } = trial.now;
  const code = `LN-${chance(9)}`;
  const kinds: (() => void)[] = [
    () => trial.weigh(["risk", "overlap", "cost"][chance(3)] ?? "risk", (serial * 37) % 1000),
    () => trial.change({ budget: 1000 + serial }),
    () => trial.change({ way: trial.now.way === "best" ? "score" : "best" }),
    () => trial.change({ keptIn: { ...keptIn, [code]: `reason ${serial}` } }),
    () => trial.change({ leftOut: { ...leftOut, [code]: `reason ${serial}` } }),
    () => trial.change({ keptIn: {}, leftOut: { "LN-1": `only ${serial}` } }),
    () => trial.change({ districtLeast: { "Upper Wick": serial / 1000 } }),
    () => trial.change({ districtMost: { "Kindle Hills": serial / 1000 } }),
    () => trial.change({ mostInstalls: serial }),
    () => trial.change({ together: [["LN-1", `LN-${serial + 2}`]] }),
    () => trial.change({ unit: UNITS[(UNITS.indexOf(trial.now.unit) + 1) % UNITS.length] ?? "cfs" }),
    () => trial.change({ year: trial.now.year === "dry" ? "wet" : "dry" }),
    () => trial.change({ guild: `g${serial}` }),
  ];
  kinds[chance(kinds.length)]?.();
}

test("W7: 100 steps of every kind, undone and redone, restore each state all the way down", () => {
  const trial = new Trial(START);
  const undoing = new Undoing(trial);
  const chance = chances(5);
  const states = [trial.now];
  for (let serial = 1; states.length <= 100; serial += 1) {
    changeAtRandom(trial, chance, serial);
    if (trial.now !== states.at(-1)) states.push(trial.now);
  }
  for (const state of states.slice(0, -1).reverse()) {
    assert.notEqual(undoing.undo(), "");
    assert.deepEqual(trial.now, state);
  }
  assert.deepEqual([undoing.canUndo, undoing.undo()], [false, ""]);
  for (const state of states.slice(1)) {
    undoing.redo();
    assert.deepEqual(trial.now, state);
  }
  assert.deepEqual([undoing.canRedo, undoing.redo()], [false, ""]);
});

test("steps outlive a reload, reasons too, and the next state comes after them", () => {
  const trial = new Trial(START);
  const before = new Undoing(trial);
  trial.change({ keptIn: { "LN-1": "The council asked for it" } });
  trial.change({ budget: 200 });
  before.undo();
  const kept = stepsRead(stepsText(before.steps), stepOf(START));
  assert.deepEqual(kept, before.steps);
  const again = new Trial(START, { ...START, ...standing(before.steps) });
  const after = new Undoing(again, kept);
  assert.deepEqual([after.canUndo, after.canRedo], [true, true]);
  after.redo();
  assert.equal(again.now.budget, 200);
  const elsewhere = new Undoing(new Trial(START, { ...START, budget: 7 }), kept);
  assert.deepEqual([elsewhere.canUndo, elsewhere.canRedo, standing(elsewhere.steps).budget], [true, false, 7]);
});

test("what is no list of steps, or of other criteria, is not taken for one", () => {
  const other = begun(stepOf({ ...START, weights: { risk: 500, depth: 500, cost: 0 } }));
  for (const text of [null, "", "{}", "[1]", '{"all":[],"at":0}', '{"all":[{}],"at":0}', stepsText(other)]) {
    assert.equal(stepsRead(text, stepOf(START)), null);
  }
});

test("a drag or a held key is one step, and none where it comes back to where it began", () => {
  const trial = new Trial(START);
  const undoing = new Undoing(trial);
  trial.weigh("risk", 610);
  for (let weight = 620; weight <= 900; weight += 10) trial.weigh("risk", weight, true);
  assert.equal(undoing.steps.all.length, 2);
  trial.change({ budget: 120 });
  for (const budget of [140, 120, 100]) trial.change({ budget }, true);
  assert.deepEqual([undoing.undo(), trial.now.weights["risk"]], ["weights", 600]);
  undoing.redo();
  trial.change({ budget: 300 });
  assert.deepEqual(undoing.steps.all.map(({ weights, budget }) => [weights["risk"], budget]), [[600, 100], [900, 100], [900, 300]]);
});

test("at least 200 steps are kept, and the oldest give way", () => {
  const trial = new Trial(START);
  const undoing = new Undoing(trial);
  for (let budget = 1; budget <= 1000; budget += 1) trial.change({ budget });
  let times = 0;
  while (undoing.undo()) times += 1;
  assert.deepEqual([times, trial.now.budget], [MOST_STEPS, 1000 - MOST_STEPS]);
  assert.ok(MOST_STEPS >= 200);
});

test("theme, tab and what the list shows are no step, and undoing leaves them", () => {
  const trial = new Trial(START);
  const undoing = new Undoing(trial);
  trial.change({ budget: 5 });
  trial.change({ theme: "projector", tab: "money", trialsListed: true });
  assert.equal(undoing.steps.all.length, 2);
  undoing.undo();
  assert.deepEqual(trial.now, { ...START, theme: "projector", tab: "money", trialsListed: true });
});

test("a case that is held does not move by any way, undo too; how it is shown does", () => {
  const trial = new Trial(START);
  const undoing = new Undoing(trial);
  trial.change({ budget: 5 });
  const held = { ...trial.now, held: true };
  trial.change({ held: true });
  const chance = chances(11);
  for (let serial = 0; serial < 60; serial += 1) changeAtRandom(trial, chance, serial);
  assert.deepEqual([undoing.canUndo, undoing.undo()], [false, ""]);
  const { unit, year, guild } = trial.now;
  assert.deepEqual(trial.now, { ...held, unit, year, guild });
  assert.notDeepEqual([unit, year, guild], [START.unit, START.year, START.guild]);
  trial.change({ held: false, budget: 9 });
  assert.equal(trial.now.budget, 9);
});

test("a step is named by what it takes back", () => {
  const one = stepOf(START);
  assert.equal(differenceWords(one, { ...one, budget: 1, weights: {} }), "weights and budget");
  assert.equal(differenceWords(one, { ...one, keptIn: { a: "b" }, leftOut: { c: "d" } }), "hand choice");
});
