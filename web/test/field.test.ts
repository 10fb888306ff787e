// The phone's pure parts: what a typed text means, which note stands, what is warned of, where a photo says it is.
import assert from "node:assert/strict";
import { test } from "node:test";
import { withPlace } from "../src/field/photo.ts";
import { newestFor, tipsOf } from "../src/field/standing.ts";
import { asTyped, farOff, startUnit, tooDeep, understood } from "../src/field/understood.ts";
import { badgeWords, warnings } from "../src/field/words.ts";
import { stopNumber, stopOf, wayTo } from "../src/field/sketch.ts";
import type { Form, Pack, PackStop } from "../src/wire/field.ts";
import type { Note } from "../src/wire/notes.ts";

const PLATE: Form = {
  field: "plate_capacity", label: "Plate", holds: "number", units: ["m3/s", "L/s", "ML/d", "cfs"], per_si: { "m3/s": 1, "L/s": 1000, "ML/d": 86.4, cfs: 1 / 0.028316846592 },
  words: [], column: "capacity_m3s", above_zero: true, adds_up: false, how: "", caution: "",
};

test("a plate's number is understood in its own unit, and kept as typed where it is none", () => {
  assert.deepEqual(understood(PLATE, " 21.6 ", "ML/d"), { value: 21.6 / 86.4, fault: "" }); // 0.25 m3/s
  assert.deepEqual(understood(PLATE, "", ""), { value: null, fault: "" });
  assert.match(understood(PLATE, "21,6", "ML/d").fault, /Write 21\.6/);
  for (const typed of ["12abc", "1.2.3", "--1", "1e", "0x10", "٣", "-5", "0", "1e999"]) assert.notEqual(understood(PLATE, typed, "L/s").fault, "", typed);
  assert.match(understood(PLATE, "21.6", "").fault, /unit/);
});

test("a comma is told for what it may mean", () => {
  assert.equal(understood(PLATE, "1,250", "L/s").fault, "A comma may mean two things: write 1250, or 1.25 with a point.");
  assert.match(understood(PLATE, "0,250", "L/s").fault, /Write 0\.250/); // no thousands begin with 0
  assert.match(understood(PLATE, "1,250,000", "L/s").fault, /without commas/);
  assert.match(understood(PLATE, "1,250.5", "L/s").fault, /without commas/);
});

const DEPTH: Form = { ...PLATE, field: "depth_today", units: ["m", "cm", "ft"], per_si: { m: 1, cm: 100, ft: 1 / 0.3048 }, above_zero: false };

test("a depth starts with m, a plate with no unit; a depth past 30 m is asked about", () => {
  assert.deepEqual([startUnit(DEPTH), startUnit(PLATE), startUnit({ ...PLATE, units: ["mm"] })], ["m", "", "mm"]);
  assert.equal(tooDeep(DEPTH, 30), "");
  assert.match(tooDeep(DEPTH, 30.1), /is that right\?/);
  assert.equal(tooDeep(PLATE, 31), "");
});

test("stops are numbered as on the sheet: every day begins anew", () => {
  const stops = [[1, 1], [1, 2], [2, 1]].map(([day, number]) => ({ day, number })) as unknown as PackStop[];
  const pack = (days: number): Pack => ({ run: { days: Array.from({ length: days }, () => ({})) }, stops }) as unknown as Pack;
  const [first, last] = [stops[0] as PackStop, stops[2] as PackStop];
  assert.equal(stopNumber(pack(2), last), "2·1");
  assert.equal(stopOf(pack(2), first), "1·1 (day 1, stop 1 of 2)");
  assert.equal(stopOf(pack(1), first), "1 of 2");
});

test("a unit that may be wrong is asked about, a plain difference is not", () => {
  assert.equal(farOff(0.25, 0.2), "");
  assert.equal(farOff(0.2, null), "");
  assert.match(farOff(250, 0.25), /1000 times more/);
  assert.match(farOff(0.1, 0.4), /4\.0 times less than the register says\. Is that right\?/);
  assert.equal(farOff(3, 1), ""); // more than 3 times, not 3 times
});

function note(id: string, phone: string, after: string, minute: number): Note {
  return { id, run_id: "r", code: "A", field: "plate_capacity", typed: id, unit: "L/s", value: 1, at: `2026-03-01T08:${String(minute).padStart(2, "0")}:00Z`, phone, after, by: phone };
}

test("a note follows upon this phone's own last one, or upon the one others left", () => {
  const [a, b, c] = [note("a", "p", "", 1), note("b", "p", "a", 2), note("c", "q", "a", 3)];
  assert.deepEqual(tipsOf([a, b, c], []).map((each) => each.id), ["b", "c"]);
  assert.equal(newestFor("p", [a, b, c], [], false)?.id, "b");
  assert.equal(newestFor("z", [a, b, c], [], false)?.id, "c");
  assert.equal(newestFor("z", [a, b, c], [], true), null);
  const choice = { id: "x", code: "A", field: "plate_capacity", note_ids: ["b", "c"], pick: "c", by: "l", why: "w", at: "" };
  assert.equal(newestFor("p", [a, b, c], [choice], false)?.id, "c");
  assert.equal(newestFor("p", [], [], false), null);
});

test("the badge counts, and what is old, faulty or not promised is warned of", () => {
  assert.equal(badgeWords({ safe: 14, unsent: 0, faulty: 0 }), "14 notes safe on this phone, 0 not yet sent");
  assert.equal(badgeWords({ safe: 1, unsent: 1, faulty: 0 }), "1 note safe on this phone, 1 not yet sent");
  const now = Date.parse("2026-03-03T08:00:00Z");
  assert.deepEqual(warnings(true, "2026-03-02T09:00:00Z", { safe: 1, unsent: 1, faulty: 0 }, [], now), []);
  assert.equal(warnings(true, "2026-03-02T07:00:00Z", { safe: 1, unsent: 1, faulty: 0 }, [], now).length, 1);
  assert.equal(warnings(false, "2026-03-02T07:00:00Z", { safe: 2, unsent: 2, faulty: 1 }, [], now).length, 3);
  assert.deepEqual(warnings(false, null, { safe: 2, unsent: 0, faulty: 0 }, [], now), []);
  assert.deepEqual(warnings(true, null, { safe: 1, unsent: 1, faulty: 1 }, ["stop A, Plate"], now), ["1 note cannot be sent as it is: stop A, Plate; see what is said there."]);
  assert.match(warnings(true, null, { safe: 5, unsent: 5, faulty: 5 }, ["a", "b", "c", "d", "e"], now)[0] ?? "", /: a; b; c; and 2 more; see/);
});

test("a note is told as it was typed, and blank as taken back", () => {
  assert.equal(asTyped({ typed: " 0.25 ", unit: "m3/s" }), "0.25 m³/s");
  assert.equal(asTyped({ typed: "", unit: "" }), "taken back");
});

test("a place is written where Exif has it, or nothing is", () => {
  const jpeg = new Uint8Array([0xff, 0xd8, 0xff, 0xd9]).buffer;
  assert.equal(withPlace(jpeg, null), jpeg);
  const placed = new DataView(withPlace(jpeg, { lat: -36.5, lon: 92.25 }));
  assert.equal(placed.getUint32(0), 0xffd8ffe1);
  assert.equal(placed.getUint16(4), placed.byteLength - 6); // the segment reaches to the picture's next marker
  assert.equal(placed.getUint16(placed.byteLength - 2), 0xffd9);
});

test("the way to a stop is told by distance and side", () => {
  assert.match(wayTo({ lat: -36, lon: 92 }, { lat: -36.01, lon: 92 }), /^1\.1 km to the south,/); // 0.01 degree is 1.11 km
  assert.match(wayTo({ lat: 0, lon: 0 }, { lat: 0.001, lon: 0.001 }), /^160 m to the north-east,/);
});
