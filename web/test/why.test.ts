// What the why panel says follows from the numbers it is given.
import assert from "node:assert/strict";
import { test } from "node:test";
import { partsOf } from "../src/core/why_criteria.ts";
import { inputLines, inputsSentence } from "../src/core/why_inputs.ts";
import { intakeSentence } from "../src/core/why_intake.ts";
import { largestRemainder, scoreParts, shownScore, thousandthsText, weightText } from "../src/core/why_parts.ts";
import { compareScreens, gainText, screenLines } from "../src/core/why_screens.ts";
import { monthInitial, seasonSentence, seasonShape } from "../src/core/why_season.ts";
import { ordinal, riverOf, timesText, whySentence } from "../src/core/why_words.ts";
import type { Input, Month, Screen } from "../src/wire/why.ts";

const NB = "\u00a0";

/** Whole numbers without a pattern, the same in every run. */
function* numbers(seed: number): Generator<number, never> {
  let state = seed;
  for (;;) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    yield state;
  }
}

test("the parts shown sum to the score shown and none is off by a whole thousandth (W3)", () => {
  const next = numbers(7);
  for (let round = 0; round < 5000; round += 1) {
    const cut = [next.next().value % 1001, next.next().value % 1001].sort((a, b) => a - b);
    const weights = [cut[0] ?? 0, (cut[1] ?? 0) - (cut[0] ?? 0), 1000 - (cut[1] ?? 0)];
    const criteria = weights.map((weightThousandths, i) => ({
      name: `c${i}`,
      label: `C${i}`,
      millionths: next.next().value % 1_000_001,
      weightThousandths,
    }));
    const score = criteria.reduce((sum, each) => sum + each.millionths * each.weightThousandths, 0);
    const parts = scoreParts(criteria, score);
    assert.equal(parts.reduce((sum, part) => sum + part.shownThousandths, 0), shownScore(score));
    for (const part of parts) assert.ok(Math.abs(part.shownThousandths - part.points / 1e6) < 1);
  }
});

test("the largest remainder gets the thousandth that is left, the earlier of equal ones", () => {
  assert.deepEqual(largestRemainder([374_556_000, 48_310_300, 300_000_000], 723), [375, 48, 300]);
  assert.deepEqual(largestRemainder([500_000, 500_000], 1), [1, 0]);
  assert.deepEqual(largestRemainder([0, 0], 0), [0, 0]);
});

test("scores show as the list shows them, and weights as many places as they have", () => {
  assert.deepEqual([722_866_300, 500_000, 499_999, 1_000_000_000].map(shownScore), [723, 1, 0, 1000]);
  assert.equal(thousandthsText(48), "0.048");
  assert.deepEqual([600, 125, 1000].map(weightText), ["0.60", "0.125", "1.00"]);
});

const FACTS = {
  weights: { risk: 600, overlap: 100, cost: 300 },
  criteria: [{ name: "risk", label: "Risk" }, { name: "overlap", label: "Overlap" }, { name: "cost", label: "Cost" }],
};

test("what a viewer may not see takes the rest of the service's own score, and no part of a score tried", () => {
  const told = { facts: FACTS, offtakes: { criteria: { risk: [500_000], overlap: [200_000] } } };
  const own = partsOf(told, 0, { risk: 857, overlap: 143 }, 500_000 * 600 + 200_000 * 100 + 250_000_000);
  assert.deepEqual(own.map((part) => [part.criterion, part.value, part.shownThousandths]), [["risk", 0.5, 300], ["overlap", 0.2, 20], ["cost", null, 250]]);
  const tried = partsOf(told, 0, { risk: 700, overlap: 300 }, 500_000 * 700 + 200_000 * 300);
  assert.deepEqual(tried.map((part) => part.shownThousandths), [350, 60]);
});

test("the sentence tells place, taking and loss", () => {
  assert.deepEqual([1, 2, 3, 4, 11, 12, 13, 21, 101, 112].map(ordinal), ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "101st", "112th"]);
  assert.equal(
    whySentence(7, 197, 0.03, 0.049),
    `7th of 197: it takes 3.0${NB}% of the drifters that pass it, by worth; 4.9${NB}% of the loss to pumps in this catchment.`,
  );
  assert.equal(whySentence(197, 197, 0, 0), "197th of 197: no loss is laid to it in the years used.");
  assert.equal(whySentence(2, 9, null, 0.2), `2nd of 9: it makes 20${NB}% of the loss to pumps in this catchment.`);
  assert.equal(riverOf("Lantern River, reach 41 of 52"), "Lantern River");
  assert.deepEqual([0.7219, 14.2].map(timesText), ["0.72", "14"]);
});

const MONTHS: readonly Month[] = Array.from({ length: 12 }, (_, i) => ({
  month: ((i + 6) % 12) + 1,
  draw_share: i === 6 ? 0.4 : 0.6 / 11,
  passing_share: i === 5 ? 1 : 0,
  overlap: i === 5 ? 0.05 : 0,
}));

test("the season's drawing: bars lie under both lines, months keep the order of the season", () => {
  const shape = seasonShape(MONTHS, { left: 0, top: 0, width: 120, height: 100 });
  assert.equal(shape.most, 1);
  assert.equal(shape.bars.length, 12);
  assert.ok(Math.abs((shape.bars[5]?.height ?? 0) - 5) < 1e-9);
  assert.equal(shape.bars[5]?.x, 50);
  assert.match(shape.passing, /^M0.00 100.00H10.00L10.00 100.00/);
  assert.deepEqual(MONTHS.map(({ month }) => monthInitial(month)).join(""), "JASONDJFMAMJ");
  assert.equal(seasonSentence(MONTHS), "Draw peaks in January, passing drifters in December.");
});

test("where the draw may not be seen, neither line nor bar tells of it", () => {
  const seen = MONTHS.map(({ month, passing_share }) => ({ month, passing_share }));
  const shape = seasonShape(seen, { left: 0, top: 0, width: 120, height: 100 });
  assert.equal(shape.draw, "");
  assert.deepEqual(shape.bars, []);
  assert.match(seasonSentence(seen), /not public/);
});

const SCREEN: Screen = { option_id: "a", name: "A", feasible: true, is_best: false, depth_unknown: false };

test("the best screen stands first, then by gain for the money; others say what stands against them", () => {
  const screens: Screen[] = [
    { ...SCREEN, option_id: "low", gain_share: 0.1, life_cycle: 1000 },
    { ...SCREEN, option_id: "high", gain_share: 0.3, life_cycle: 1000 },
    { ...SCREEN, option_id: "best", gain_share: 0.2, life_cycle: 1000, is_best: true },
    { ...SCREEN, name: "No", feasible: false, obstacles: ["the water is too shallow", "it needs power"] },
  ];
  const { feasible, ruledOut } = compareScreens(screens);
  assert.deepEqual(feasible.map((screen) => screen.option_id), ["best", "high", "low"]);
  const funded = compareScreens(screens, "low").feasible; // what the set buys comes before all
  assert.deepEqual(funded.map((screen) => screen.option_id), ["low", "best", "high"]);
  assert.deepEqual(ruledOut, [["No", "the water is too shallow; it needs power"]]);
});

test("heads are said only where production is counted; the public sees bands", () => {
  const screen: Screen = { ...SCREEN, gain_adults: 41.4, gain_share: 0.0033, capital: 31_853, capital_low: 20_790, capital_high: 62_924, life_cycle: 43_664, life_cycle_at: [[0.03, 48_439], [0.1, 41_344]] };
  assert.equal(gainText(screen, false), `avoids 0.33${NB}% of the loss`);
  assert.equal(gainText(screen, true), "41.4 adults a year");
  const lines = new Map(screenLines(screen, { currency: "CDL", counted: false, horizonYears: 20, rate: 0.07, landholderShare: 0.25, fundedId: null }));
  assert.equal(lines.get("from–to"), `20,800 to 62,900${NB}CDL`);
  assert.equal(lines.get(`at 7.0${NB}%`), `43,700${NB}CDL`);
  assert.equal(lines.get("Gain for 100,000 CDL over 20 years"), `0.76${NB}% of the loss`);
  assert.deepEqual(["Cost", "Fund pays", "Landholder pays"].map((term) => lines.get(term)), ["31,900", "23,900", "8,000"].map((sum) => `${sum}${NB}CDL`));
  const band: Screen = { ...SCREEN, capital_band: [20_000, 50_000], gain_share: 0.0033 };
  assert.deepEqual(screenLines(band, { currency: "CDL", counted: false, horizonYears: 20, rate: 0.07, landholderShare: 0.25, fundedId: null }), [["Cost", `20,000 to 50,000${NB}CDL`], ["Gain", `avoids 0.33${NB}% of the loss`]]);
});

function input(part: Partial<Input>): Input {
  return { column: "x", meaning: "thing", unit: "", value: null, basis: "measured", source: "plate", observed_on: "2018-06-19", default_used: false, visibility: "public", ...part };
}

test("inputs tell value with unit, origin and basis; months of use share a line", () => {
  const flow = (m3s: number): string => `${m3s * 1000}${NB}L/s`;
  const lines = inputLines(
    [
      input({ column: "offtake_id", value: "LN-1" }),
      input({ column: "capacity_m3s", unit: "m3/s", value: 0.25 }),
      input({ column: "use_01", unit: "share", value: 0.5 }),
      input({ column: "use_02", unit: "share", value: 0.5 }),
      input({ column: "use_03", unit: "share", value: 0 }),
      input({ column: "pump_head_m", unit: "m", value: null, basis: "assumed", source: "", observed_on: null, default_used: true }),
      input({ column: "quote", meaning: "quoted capital" }),
    ],
    "CDL",
    flow,
  );
  assert.deepEqual(lines.map((line) => [line.value, line.origin]), [
    [`250${NB}L/s`, "plate, 19 June 2018"],
    [`Jan–Feb 50${NB}%, Mar 0${NB}%`, "plate, 19 June 2018"],
    ["by the model", ""],
  ]);
  assert.equal(inputsSentence(lines), "3 inputs: 2 measured, 1 assumed; 1 is a default, used where nothing was given.");
});

test("the place is told in a sentence, without what may not be seen", () => {
  const intake = { kind: "fixed_suction", river: "Heron Creek", capacityM3s: null, volumeMl: null, fitted: null };
  const flow = (): string => "42 ML/d";
  assert.equal(intakeSentence(intake, flow), "Fixed pump on Heron Creek; no screen today.");
  assert.equal(intakeSentence({ ...intake, capacityM3s: 0.5, volumeMl: 1240, fitted: "a drum" }, flow), `Fixed pump on Heron Creek, 42 ML/d at most; draws 1,240${NB}ML a year; has a drum.`);
});
