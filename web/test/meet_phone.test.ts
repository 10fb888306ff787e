// A phone in a meeting: finding one's own offtake, however its code is written, and where a large map looks.
import assert from "node:assert/strict";
import { test } from "node:test";
import { foundBy } from "../src/meet/phone_found.ts";
import { densestOf } from "../src/meet/phone_zoom.ts";
import type { Meeting } from "../src/meet/told.ts";

const OFFTAKES = [
  { code: "LN-069", reach: "Lantern River, reach 3 of 9", x_mm: 10, y_mm: 0 },
  { code: "LN-169", reach: "Wick Creek, reach 1 of 2", x_mm: 30, y_mm: 0 },
  { code: "LN-100", reach: "Wick Creek, reach 2 of 2", x_mm: 31, y_mm: 1 },
];
const MEETING = { offtakes: OFFTAKES, map: { towns: [{ name: "Snuffercross", size: 1, x_mm: 32, y_mm: 0 }] } } as unknown as Meeting;
const codes = (text: string): string[] => foundBy(text, MEETING).sites.map(({ code }) => code);

test("a whole code finds one offtake however it is written, a part finds all that have it", () => {
  for (const text of ["LN-069", " ln 69", "ln69", "ln-0069"]) assert.deepEqual(codes(text), ["LN-069"]);
  assert.deepEqual(codes("69"), ["LN-069", "LN-169"]);
  assert.deepEqual(codes("wick  CREEK"), ["LN-169", "LN-100"]);
  assert.deepEqual([codes(""), codes(" - "), codes("nowhere")], [[], [], []]);
});

test("a town finds what lies nearest to it, nearest first", () => {
  assert.equal(foundBy("snuff", MEETING).town, "Snuffercross");
  assert.deepEqual(codes("snuff"), ["LN-100", "LN-169", "LN-069"]);
});

test("a large map looks where most offtakes stand in what it shows", () => {
  assert.equal(densestOf(MEETING.offtakes, 8, 8), OFFTAKES[1]);
  assert.equal(densestOf([], 8, 8), null);
});
