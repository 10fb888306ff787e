// What the page says and draws follows from its numbers.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Chosen, NONE } from "../src/core/chosen.ts";
import { discRadiusPx } from "../src/core/discs.ts";
import { sidesWithRoom } from "../src/core/labels.ts";
import { decodeLines, fromSteps } from "../src/core/lines.ts";
import { worldX, worldY } from "../src/core/mercator.ts";
import { decimals, figures, longDate, money, percent, percentFigure, thousands, yearRun } from "../src/core/numbers.ts";
import { rowsByRank } from "../src/core/order.ts";
import { riskFigure, riskRange, riskStep } from "../src/core/risk.ts";
import { riverWidthPx } from "../src/core/rivers.ts";
import { glance, headCount, listed, mapSummary } from "../src/core/sentences.ts";
import { scrollTo, visibleSpan } from "../src/core/window.ts";
import { placeAfterKey } from "../src/parts/list_keys.ts";

const VIEW = { left: 0, top: 0, right: 1000, bottom: 1000 };

test("risk falls into five ordered steps, the ends included", () => {
  assert.deepEqual([0, 199_999, 200_000, 799_999, 800_000, 1_000_000].map(riskStep), [0, 0, 1, 3, 4, 4]);
  assert.deepEqual(riskRange(4), [0.8, 1]);
  assert.deepEqual([799_999, 800_000, 290_400, 797_500].map(riskFigure), [0.799, 0.8, 0.29, 0.798]);
  for (let risk = 0; risk <= 1_000_000; risk += 137) assert.equal(riskStep(riskFigure(risk) * 1e6 + 0.5), riskStep(risk));
});

test("steps add up to the values they came from", () => {
  assert.deepEqual(fromSteps([10, -3, 0, 5]), [10, 7, 7, 12]);
  const lines = decodeLines({ row: [4, -2], points: [2, 3], lon: [100, 1, 1, 1, 1], lat: [0, 2, 2, 2, 2] });
  assert.deepEqual(lines.map((line) => [line.row, line.xy.length]), [[4, 4], [2, 6]]);
  assert.equal(lines[1]?.xy[4], worldX(104 / 100_000));
  assert.equal(lines[1]?.xy[5], worldY(8 / 100_000));
  assert.ok((lines[1]?.north ?? 0) < (lines[1]?.south ?? 0));
});

test("the square world has its corners and its middle where Mercator puts them", () => {
  assert.equal(worldX(-180), 0);
  assert.equal(worldX(0), 0.5);
  assert.ok(Math.abs(worldY(0) - 0.5) < 1e-12);
  assert.ok(Math.abs(worldY(85.0511287798066)) < 1e-12);
});

test("rows stand in order of rank", () => {
  assert.deepEqual(rowsByRank([3, 1, 2]), [1, 2, 0]);
});

test("numbers keep sensible digits and never show exponents", () => {
  assert.equal(decimals(12345.678, 1), "12,345.7");
  assert.equal(figures(0.012345, 2), "0.012");
  assert.equal(figures(36.44, 3), "36.4");
  assert.equal(figures(1234.5, 3), "1,235");
  assert.equal(figures(0, 3), "0");
  assert.equal(figures(NaN, 3), "–");
  assert.equal(percent(0.7123), "71\u00a0%");
  assert.equal(percent(0.00001), "below\u00a00.01\u00a0%");
  assert.equal(percentFigure(0.0121), "1.2");
  assert.deepEqual([0.0996, 0.00996, 0.096].map(percentFigure), ["10", "1.0", "9.6"]);
  assert.deepEqual([68_412, 68_450, NaN].map(thousands), ["68.4", "68.5", "–"]);
  assert.equal(money(68_412, "CDL"), "68,400\u00a0CDL");
  assert.equal(money(2_480_000, "CDL"), "2.48\u00a0million\u00a0CDL");
  assert.equal(longDate("2021-06-30"), "30 June 2021");
  assert.equal(yearRun([2018, 2019, 2020]), "2018–2020 (3)");
});

test("the glance speaks of about a tenth of the list", () => {
  assert.deepEqual([5, 47, 204, 412, 10_000].map(headCount), [1, 5, 20, 50, 1000]);
  assert.equal(glance([0.5, 0.3, 0.2]), "3 offtakes ranked; the first makes 50\u00a0% of the loss to pumps.");
  const even = new Array<number>(200).fill(1 / 200);
  assert.equal(glance(even), "200 offtakes ranked; the first 20 make 10\u00a0% of the loss to pumps.");
});

test("sentences list and count as people do", () => {
  assert.equal(listed(["cod", "perch", "gudgeon"]), "cod, perch and gudgeon");
  assert.equal(mapSummary(9, 0, ""), "Map of 9 offtakes; none of them in view.");
});

test("a river of four times the flow is drawn twice as wide above the least", () => {
  const least = riverWidthPx(0, 100);
  assert.ok(Math.abs((riverWidthPx(100, 100) - least) / (riverWidthPx(25, 100) - least) - 2) < 1e-12);
  assert.equal(riverWidthPx(5, 0), least);
});

test("discs grow with zoom and stay within their bounds", () => {
  assert.ok(discRadiusPx(0, 390) < discRadiusPx(0, 1000));
  assert.ok(discRadiusPx(1, 800) > discRadiusPx(0, 800));
  assert.equal(discRadiusPx(50, 800), 9);
});

test("only rows near the view exist, and scrolling brings one in whole", () => {
  assert.deepEqual(visibleSpan(0, 400, 40, 1000), { first: 0, end: 16 });
  assert.deepEqual(visibleSpan(4000, 400, 40, 1000), { first: 94, end: 116 });
  assert.deepEqual(visibleSpan(0, 400, 40, 3), { first: 0, end: 3 });
  assert.equal(scrollTo(0, 100, 400, 40), 0);
  assert.equal(scrollTo(20, 0, 400, 40), 440);
  assert.equal(scrollTo(5, 100, 400, 40), 100);
});

test("keys step through the list and stop at its ends", () => {
  const after = (key: string, place: number): number | null => placeAfterKey(key, place, 50, 10);
  assert.deepEqual(["ArrowDown", "ArrowUp", "PageDown", "Home", "End"].map((key) => after(key, 0)), [1, 0, 10, 0, 49]);
  assert.equal(after("ArrowDown", 49), 49);
  assert.equal(after("a", 3), null);
});

test("no two names touch, the weightier stays, and a name avoids discs and the edge", () => {
  const name = { x: 500, y: 500, width: 60, height: 12 };
  const crowd = Array.from({ length: 9 }, (_, weight) => ({ ...name, weight }));
  const sides = sidesWithRoom(crowd, new Float64Array(), 5, VIEW);
  const standing = sides.filter((side) => side !== null);
  assert.equal(standing.length, 4);
  assert.equal(new Set(standing).size, 4);
  assert.equal(sides[8], "right");
  assert.equal(sides[0], null);
  assert.deepEqual(sidesWithRoom([{ ...name, weight: 1 }], new Float64Array([530, 500]), 5, VIEW), ["left"]);
  assert.deepEqual(sidesWithRoom([{ ...name, x: 980, weight: 1 }], new Float64Array(), 5, VIEW), ["left"]);
  const ring = Float64Array.from({ length: 120 }, (_, i) => 500 + 22 * (i % 2 ? Math.sin(i / 8) : Math.cos(i / 8)));
  assert.deepEqual([1, 2, 3, 4].map((weight) => sidesWithRoom([{ ...name, weight }], ring, 5, VIEW)[0] === null), [true, true, true, false]);
});

test("a choice tells its listeners once a change, and not after they leave", () => {
  const chosen = new Chosen();
  const heard: number[] = [];
  const leave = chosen.onChange((now) => heard.push(now.selected));
  chosen.select(3, "list");
  chosen.select(3, "map");
  chosen.hover(2, "map");
  leave();
  chosen.select(NONE, "card");
  assert.deepEqual(heard, [3, 3]);
});
