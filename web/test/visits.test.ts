// Field days on the page: an order moved by a button and by a hand is the same, times follow the order, and
// numbers close together are all read.
import assert from "node:assert/strict";
import { test } from "node:test";
import { LongWork } from "../src/core/long_work.ts";
import { byCode, typedWords, waitingWords } from "../src/core/proposal_words.ts";
import { askedOfForm, FORM_AT_FIRST, MIDDLE, withDays, wrongWith } from "../src/core/visit_form.ts";
import { type Days, moved, stepped, toDay, without } from "../src/core/visit_order.ts";
import { sidesOf } from "../src/core/visit_sides.ts";
import { clock, dayShares, gapWords, lasting, stopLabel } from "../src/core/visit_words.ts";
import { VisitsKept } from "../src/core/visits_kept.ts";
import type { Proposal } from "../src/wire/proposals.ts";
import type { Note } from "../src/wire/notes.ts";
import type { OrderAsked, PlanAsked, PlanTold } from "../src/wire/visits.ts";

const DAYS: Days = [["A", "B", "C"], [], ["D"]];

test("a step down and a drag behind the next stop give the same order", () => {
  assert.deepEqual(stepped(DAYS, "A", 1), [["B", "A", "C"], [], ["D"]]);
  assert.deepEqual(moved(DAYS, "A", { day: 0, at: 2 }), stepped(DAYS, "A", 1));
  assert.deepEqual(stepped(DAYS, "C", -1), moved(DAYS, "C", { day: 0, at: 1 }));
});

test("past the end of its day a stop goes into the day beside it, and at the ends it stays", () => {
  assert.deepEqual(stepped(DAYS, "C", 1), [["A", "B"], ["C"], ["D"]]);
  assert.deepEqual(stepped(DAYS, "D", -1), [["A", "B", "C"], ["D"], []]);
  assert.equal(stepped(DAYS, "A", -1), DAYS);
  assert.equal(stepped(DAYS, "D", 1), DAYS);
});

test("dropped where it stands, before or behind itself, nothing moves", () => {
  assert.deepEqual(moved(DAYS, "B", { day: 0, at: 1 }), DAYS);
  assert.deepEqual(moved(DAYS, "B", { day: 0, at: 2 }), DAYS);
});

test("no stop is lost or doubled, whatever moves are made", () => {
  let days = DAYS;
  const codes = days.flat();
  for (let turn = 0; turn < 500; turn += 1) {
    const code = codes[turn % codes.length] ?? "";
    const day = (turn * 7) % 3;
    days = turn % 3 === 0 ? toDay(days, code, day) : turn % 3 === 1 ? stepped(days, code, turn % 2 ? 1 : -1) : moved(days, code, { day, at: (turn * 5) % ((days[day]?.length ?? 0) + 1) });
    assert.deepEqual([...days.flat()].sort(), [...codes].sort());
  }
  assert.deepEqual(without(DAYS, "B"), [["A", "C"], [], ["D"]]);
});

test("times of day run over midnight, lengths are told in hours and minutes", () => {
  assert.equal(clock("08:00", 65.4), "9:05");
  assert.equal(clock("22:30", 120), "0:30");
  assert.equal(lasting(45), "45\u00a0min");
  assert.equal(lasting(59.6), "1\u00a0h\u00a000");
  assert.equal(lasting(125), "2\u00a0h\u00a005");
  assert.deepEqual([stopLabel(0, 2, 1), stopLabel(1, 2, 3)], ["3", "2·3"]);
});

test("what each day buys is a share of what all of them show", () => {
  assert.deepEqual(dayShares([500, 800, 1000]), [{ share: 0.5, adds: 0.5 }, { share: 0.8, adds: 0.3 }, { share: 1, adds: 0.2 }].map(({ share, adds }) => ({ share, adds })));
  assert.deepEqual(dayShares([null, 800]), [{ share: null, adds: null }, { share: 1, adds: 1 }]);
  assert.match(gapWords(0.031, false), /at least 96/);
});

test("the form asks for what is typed, and says what cannot be", () => {
  const form = { ...withDays(FORM_AT_FIRST, 2), depot: MIDDLE, hours: ["7.5", "8"], must: ["A"] };
  const asked = askedOfForm(form, { budget: 5 }, { lon: 10, lat: 20 });
  assert.deepEqual([asked.days, asked.lon, asked.lat, asked.depot, asked.must, asked.budget], [[{ minutes: 450 }, { minutes: 480 }], 10, 20, "", ["A"], 5]);
  assert.equal(askedOfForm({ ...form, depot: "Works yard" }, {}, { lon: 1, lat: 2 }).lon, undefined);
  assert.deepEqual(withDays(form, 4).hours, ["7.5", "8", "8", "8"]);
  assert.equal(wrongWith("hours", "8"), "");
  for (const text of ["", "0", "25", "x"]) assert.notEqual(wrongWith("hours", text), "");
});

test("numbers of sites close together stand on different sides", () => {
  const plate = { width: 30, height: 22 };
  assert.deepEqual(sidesOf([{ x: 0, y: 0, ...plate }, { x: 300, y: 0, ...plate }], 5), ["ne", "ne"]);
  const close = sidesOf([{ x: 0, y: 0, ...plate }, { x: 4, y: 2, ...plate }, { x: 2, y: 4, ...plate }], 5);
  assert.equal(new Set(close).size, 3);
  assert.equal(sidesOf([{ x: 0, y: 0, ...plate }], 5, [{ left: 0, top: -30, right: 40, bottom: 0 }])[0], "se");
});

const stopOf = (code: string, arrive: number) => ({ code, arrive_min: arrive, leave_min: arrive + 45, drive_min: 10, drive_km: 8, worth_share: 1, measure: [] });
const told = (days: readonly (readonly string[])[], base = 0): PlanTold => ({
  days: days.map((codes) => ({ stops: codes.map((code, at) => stopOf(code, base + 60 * at)), drive_km: 1, minutes: 1, worth_share: 1 })),
  buys: [1], next: null, skipped: [], changes: null, cannot_change: null, gap: null, used_roads: true,
});

function keptWith(plans: readonly PlanTold[], orders: (asked: OrderAsked) => PlanTold): VisitsKept {
  const done = <Answer,>(answer: Answer) => ({ id: "1", state: "done" as const, done: 1, total: 1, answer, error: null });
  let at = 0;
  const planning = new LongWork<PlanAsked, PlanTold>({
    begin: async () => ({ ...done(plans[0] as PlanTold), state: plans.length > 1 ? "working" : "done" }),
    read: async () => done(plans[(at += 1)] as PlanTold),
    stop: async () => undefined,
  });
  const ordering = new LongWork<OrderAsked, PlanTold>({ begin: async (asked) => done(orders(asked)), read: async () => { throw new Error("not read"); }, stop: async () => undefined });
  return new VisitsKept(planning, ordering);
}

const ASKED = askedOfForm(FORM_AT_FIRST, {}, { lon: 0, lat: 0 });
const SETTING = { start: null, dataVersion: "1" };
const soon = (ms = 20): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

test("a moved order is stale until its times have come, and back again it is as planned", async () => {
  const kept = keptWith([told([["A", "B"], ["C"]])], ({ order }) => told(order, 5));
  kept.plan(ASKED, SETTING);
  await soon();
  kept.move(stepped(kept.now?.order ?? [], "A", 1));
  assert.deepEqual([kept.stale, kept.isMoved], [true, true]);
  await soon();
  assert.deepEqual([kept.stale, kept.isMoved, kept.stop("A")?.arrive_min], [false, true, 65]);
  kept.move(kept.now?.first ?? []);
  await soon();
  assert.deepEqual([kept.stale, kept.isMoved, kept.now?.order], [false, false, [["A", "B"], ["C"]]]);
});

test("what comes later of a plan does not undo an order moved meanwhile", async () => {
  const first = told([["A", "B"]]);
  const kept = keptWith([first, { ...first, gap: 0.01, changes: [{ code: "A", words: "it would come in" }] }], ({ order }) => told(order, 5));
  kept.plan(ASKED, SETTING);
  await soon();
  kept.move([["B", "A"]]);
  await soon(300);
  assert.deepEqual([kept.now?.order, kept.now?.told.gap, kept.stale], [[["B", "A"]], 0.01, false]);
  assert.equal(kept.stop("A")?.arrive_min, 65);
});

test("notes are grouped by site and told as they were typed", () => {
  const note = { code: "A", typed: "21.6", unit: "ML/d", value: 0.25 } as Note;
  const all = [{ note }, { note: { ...note, code: "B" } }, { note }] as unknown as Proposal[];
  assert.deepEqual(byCode(all).map(([code, of]) => [code, of.length]), [["A", 2], ["B", 1]]);
  assert.equal(waitingWords(2, 1, 0), "2 notes of 1 site would change the register.");
  assert.equal(waitingWords(0, 0, 1), "No note waits to be taken over. What else was said of 1 site stands below.");
  assert.equal(typedWords(note), "21.6\u00a0ML/d");
  assert.equal(typedWords({ ...note, typed: "", unit: "", value: null }), "taken back");
});
