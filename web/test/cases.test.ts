// Cases: what is tried is kept whole, shown as it was kept, and known again.
import assert from "node:assert/strict";
import { test } from "node:test";
import { keeps, mayKeep, savedTrial, trialOfCase, unreasoned } from "../src/core/case_trial.ts";
import { caseGlance, caseStamp } from "../src/core/case_words.ts";
import { SHOWN_AT_FIRST, type TrialState, UNCONDITIONED } from "../src/core/trial.ts";
import type { CaseTold, SavedTrial } from "../src/wire/cases.ts";

const START: TrialState = { weights: { risk: 600, overlap: 100, cost: 300 }, budget: 100, way: "score", ...UNCONDITIONED, ...SHOWN_AT_FIRST };
const TRIED: TrialState = {
  ...START,
  weights: { risk: 500, overlap: 200, cost: 300 },
  budget: 2_500_000,
  way: "best",
  keptIn: { "LN-1": "The council asked for it" },
  leftOut: { "LN-2": "Its owner sells" },
  districtLeast: { "Kindle Hills": 0.3 },
  mostInstalls: 20,
  together: [["LN-1", "LN-3"]],
  unit: "cfs",
  year: "wet",
  guild: "cod",
};

function caseOf(trial: SavedTrial, part: Partial<CaseTold> = {}): CaseTold {
  return {
    id: "c1", name: "Dry years first", note: "", made_at: "2026-11-29T15:52:00+00:00", by: "lead", shared_at: null, data_version: "v1", on_present_data: true,
    way: trial.way, budget: trial.budget, inside_count: 41, spent: 2_480_000, benefit_share: 0.617, trial,
    data: { data_version: "v1", changed_at: "2026-11-20T00:00:00+00:00", is_present: true }, ...part,
  };
}

test("what is saved comes back whole and holds, whatever order the service gives the weights in", () => {
  const saved = JSON.parse(JSON.stringify(savedTrial(TRIED, "LN-1"))) as SavedTrial;
  assert.equal(saved.selected, "LN-1");
  const mixed = { ...saved, weights: { cost: 300, overlap: 200, risk: 500 } };
  const shown = trialOfCase(mixed, START);
  assert.deepEqual(shown, { ...TRIED, held: true });
  assert.deepEqual(Object.keys(shown.weights), ["risk", "overlap", "cost"]);
});

test("a case keeps a trial only where all that decides is alike and the data are the same", () => {
  const made = caseOf(savedTrial(TRIED, ""));
  assert.ok(keeps(made, { ...TRIED, held: true, theme: "projector", unit: "L/s", guild: "all", year: "mean" }, "v1"));
  assert.ok(mayKeep(made, TRIED, "v1"));
  for (const part of [{ budget: 1 }, { weights: START.weights }, { way: "score" }, { keptIn: {} }, { leftOut: { "LN-2": "Another reason" } }, { districtLeast: {} }, { districtMost: { a: 1 } }, { mostInstalls: null }, { together: [] }] as const) {
    assert.ok(!keeps(made, { ...TRIED, ...part }, "v1"), JSON.stringify(part));
  }
  assert.ok(!keeps(made, TRIED, "v2"));
  assert.ok(!mayKeep(made, TRIED, "v2"));
});

test("hand choices without a reason are named, so that none is saved", () => {
  assert.deepEqual(unreasoned(TRIED), []);
  assert.deepEqual(unreasoned({ ...TRIED, keptIn: { a: "", b: "why" }, leftOut: { c: "" } }), ["a", "c"]);
});

test("a case is told in a line: what it does, when it was saved and shared, on which data", () => {
  const made = caseOf(savedTrial(TRIED, ""));
  assert.equal(caseGlance(made, "CDL").replaceAll("\u00a0", " "), "Best set: 41 offtakes, 2.48 M of 2.50 M CDL, 62 % of the loss avoided");
  assert.match(caseStamp(made), /^Saved 29 Nov 2026, \d\d:52 by lead; data version v1$/);
  assert.match(caseStamp({ ...made, shared_at: "2026-11-30T10:00:00+00:00", on_present_data: false }), /; shared 30 Nov 2026, .*; data version v1, older than the present$/);
});
