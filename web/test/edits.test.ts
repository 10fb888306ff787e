// Editing on the page: what a form would change in which unit, a write sent once whatever happens, and
// what is said of it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { EMPTY, GEOMETRY, isBegun, keepTheirs, readDraft, rowAfter, withText } from "../src/core/edit_draft.ts";
import { cellWords, fieldGroups, fieldText, fieldUnit, typedCell } from "../src/core/edit_fields.ts";
import { isTogether, ownedGroups, withGroup } from "../src/core/follow_groups.ts";
import { movedLine, type Stood } from "../src/core/edit_moved.ts";
import { farWords } from "../src/core/edit_place.ts";
import { EditionWatch } from "../src/core/edition_watch.ts";
import { makeId, Sender } from "../src/core/edit_send.ts";
import { faultsElsewhere, nearestName, previewCounts, previewRows } from "../src/core/paste_preview.ts";
import { differenceLines } from "../src/core/upload_words.ts";
import { UNITS } from "../src/core/units.ts";
import type { FieldTold, RowTold } from "../src/wire/edits.ts";

function field(name: string, part: Partial<FieldTold> = {}): FieldTold {
  return { name, kind: "number", unit: "", meaning: name, words: [], needed: false, least: 0, most: null, above_zero: false, default_note: "", ...part };
}

const CAPACITY = field("capacity_m3s", { unit: "m3/s", needed: true });
const NIGHT = field("night_use_share", { unit: "share", most: 1 });
const SEEN = field("observed_on", { kind: "date", least: null });
const ROW: RowTold = {
  table: "offtakes", key: "B-031",
  cells: { offtake_id: "B-031", capacity_m3s: 0.486, night_use_share: null, observed_on: "2024-05-06", reach_id: "r7", chainage_m: 120, geometry: [10, 50] },
  understood: { night_use_share: 0.5 },
  fields: [field("offtake_id", { kind: "id" }), CAPACITY, NIGHT, SEEN, field("use_01", { unit: "share", most: 1 }), field("made_up")],
  last: {},
};
const SHOWN = { unit: "ML/d", currency: "CDL" } as const;

test("what a field shows, typed back unchanged or in full, is the value stored, in every unit", () => {
  for (const unit of UNITS) {
    const shown = { unit, currency: "" };
    for (const value of [0.486, 0.0116, 1e-4, 12.75, 3]) {
      const typed = typedCell(CAPACITY, fieldText(CAPACITY, value, shown), shown);
      assert.ok("value" in typed && Math.abs((typed.value as number) / value - 1) < 1e-8);
    }
  }
  assert.deepEqual(typedCell(NIGHT, "12", SHOWN), { value: 0.12 });
  assert.equal(fieldUnit(NIGHT, SHOWN), "%");
  assert.equal(cellWords(CAPACITY, 0.486, SHOWN), "41.9904\u00a0ML/d");
  assert.equal(cellWords(NIGHT, null, SHOWN), "blank");
});

test("what cannot be meant is refused at the field with what would be right", () => {
  const wrong = (of: FieldTold, text: string): string => {
    const typed = typedCell(of, text, SHOWN);
    return "wrong" in typed ? typed.wrong : "";
  };
  assert.equal(wrong(CAPACITY, " "), "This must be filled.");
  assert.equal(wrong(NIGHT, "120"), "At most 100 %.");
  assert.equal(wrong(CAPACITY, "-3"), "At least 0 ML/d.");
  for (const text of ["1,5", "12 ML", "1.2.3", "."]) assert.match(wrong(CAPACITY, text), /point/, text);
  assert.match(wrong(SEEN, "2023-02-30"), /year-month-day/);
  assert.match(wrong(SEEN, "3/4/2023"), /year-month-day/);
  assert.deepEqual(typedCell(CAPACITY, "1,200", { unit: "m3/s", currency: "" }), { value: 1200 });
  assert.deepEqual(typedCell(NIGHT, "", SHOWN), { value: null });
});

test("a draft changes what was typed and nothing else, and a field typed back is untouched", () => {
  let draft = withText(EMPTY, ROW, CAPACITY, "45", SHOWN);
  draft = withText(draft, ROW, NIGHT, "30", SHOWN);
  const { changes, wrong } = readDraft(draft, ROW, SHOWN);
  assert.deepEqual(wrong, {});
  assert.deepEqual(changes.map(({ column, old, new: next }) => [column, old, next]), [
    ["capacity_m3s", 0.486, 0.520833333333],
    ["night_use_share", null, 0.3],
  ]);
  draft = withText(draft, ROW, CAPACITY, fieldText(CAPACITY, 0.486, SHOWN), SHOWN);
  assert.deepEqual(Object.keys(draft.texts), ["night_use_share"]);
  assert.equal(isBegun(draft), true);
  assert.equal(isBegun(withText(draft, ROW, NIGHT, "", SHOWN)), false);
});

test("a place chosen on the map is one change with its reach and chainage", () => {
  const draft = { ...EMPTY, place: { values: { geometry: [10.5, 50] as [number, number], reach_id: "r8", chainage_m: 3 }, words: "" } };
  assert.deepEqual(readDraft(draft, ROW, SHOWN).changes.map(({ column, new: next }) => [column, next]), [
    [GEOMETRY, [10.5, 50]], ["reach_id", "r8"], ["chainage_m", 3],
  ]);
  assert.equal(isBegun(keepTheirs(draft, "chainage_m")), false);
});

test("after a conflict mine is put on theirs, or theirs is kept", () => {
  const conflicts = [{ table: "offtakes", key: "B-031", column: "capacity_m3s", seen: 0.486, now: 0.6, by: "Ada", at: "" }];
  const draft = withText(withText(EMPTY, ROW, CAPACITY, "45", SHOWN), ROW, NIGHT, "30", SHOWN);
  const now = rowAfter(ROW, conflicts);
  const mine = readDraft(draft, now, SHOWN).changes;
  assert.deepEqual(mine.map(({ old }) => old), [0.6, null]);
  assert.deepEqual(readDraft(keepTheirs(draft, "capacity_m3s"), now, SHOWN).changes.map(({ column }) => column), ["night_use_share"]);
});

test("every field stands in one group of the form, the key in none", () => {
  const names = fieldGroups(ROW.fields).flatMap(({ fields }) => fields.map(({ name }) => name));
  assert.deepEqual([...names].sort(), ["capacity_m3s", "made_up", "night_use_share", "observed_on", "use_01"]);
});

test("a lost answer is sent again with the same id, another content with another", async () => {
  const seen: string[] = [];
  let lost = 2;
  const post = async ({ id }: { id: string }): Promise<string> => {
    seen.push(id);
    if (lost-- > 0) throw Object.assign(new Error("no answer"), { status: 0 });
    return "written";
  };
  let made = 0;
  const sender = new Sender<{ why: string }, string>(post, () => `id-${(made += 1)}`, [1, 1]);
  const again: number[] = [];
  assert.deepEqual(await sender.send({ why: "a" }, (times) => again.push(times)), { state: "done", done: "written" });
  assert.deepEqual([seen, again], [["id-1", "id-1", "id-1"], [1, 2]]);
  lost = 9;
  assert.equal((await sender.send({ why: "b" })).state, "unknown");
  lost = 0;
  assert.equal((await sender.send({ why: "b" })).state, "done");
  assert.deepEqual(new Set(seen.slice(3)), new Set(["id-2"]));
});

test("a refusal is told at once and not sent again", async () => {
  let times = 0;
  const sender = new Sender<object, string>(async () => {
    times += 1;
    throw Object.assign(new Error("changed meanwhile"), { status: 409, told: { conflicts: [1] } });
  });
  const sent = await sender.send({});
  assert.deepEqual([sent.state, times, "error" in sent && sent.error.told], ["refused", 1, { conflicts: [1] }]);
});

test("ids are UUIDs of the fourth kind", () => {
  assert.match(makeId(), /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});

test("what moved is said in one line: those edited by name, others where they change sides", () => {
  const at = (places: Record<string, [number, boolean]>): Map<string, Stood> =>
    new Map(Object.entries(places).map(([code, [rank, inside]]) => [code, { rank, inside }]));
  const before = at({ "B-031": [12, false], C: [1, true], D: [3, true] });
  const after = at({ "B-031": [9, true], C: [1, true], D: [4, false] });
  assert.equal(movedLine(before, after, ["B-031"]), "B-031: rank 12 to 9; in the set now. D goes out.");
  assert.equal(movedLine(before, before, ["C"]), "C: stays at rank 1; still inside.");
  assert.equal(movedLine(before, before, []), "Nobody comes in or goes out.");
});

test("a paste is previewed cell by cell with its faults in their places", () => {
  const changes = [
    { table: "offtakes", key: "A", column: "capacity_m3s", old: 1, new: 2 },
    { table: "offtakes", key: "A", column: "source", old: null, new: "=1+1" },
    { table: "offtakes", key: "N", column: "", old: null, new: { offtake_id: "N", capacity_m3s: 3, label: null } },
  ];
  const finding = (key: string, column: string) => ({ table: "offtakes", key, column, value: "", remedy: "larger" });
  const findings = [finding("A", "capacity_m3s"), finding("", "")];
  const rows = previewRows(changes, findings);
  assert.deepEqual(rows.map(({ key, isNew, cells }) => [key, isNew, cells.length]), [["A", false, 2], ["N", true, 2]]);
  assert.deepEqual(rows[0]?.cells[0], { column: "capacity_m3s", old: "1", new: "2", wrong: "larger" });
  assert.equal(faultsElsewhere(rows, findings).length, 1);
  const told = { changes, unknown_columns: [], unchanged_rows: 1, new_rows: 1, findings, warnings: [] };
  assert.equal(previewCounts(told, rows), "2 changes in 1 row, 1 row new. 1 row stays as it is.");
});

test("an unknown column is told with the nearest name, or none where none is near", () => {
  const known = ["capacity_m3s", "intake_depth_m", "pump_head_m", "quote"];
  assert.equal(nearestName("Capacity", known), "capacity_m3s");
  assert.equal(nearestName("intake depth", known), "intake_depth_m");
  assert.equal(nearestName("qoute", known), "quote");
  assert.equal(nearestName("Depth at intake", known), "intake_depth_m");
  assert.equal(nearestName("colour of the shed", known), null);
});

test("what a file would change is told table by table", () => {
  const lines = differenceLines({
    offtakes: { added: 2, removed: 0, changed: 14, examples: [{ key: "A", column: "quote", old: null, new: 5 }, "N added"] },
    reaches: { added: 0, removed: 0, changed: 0, examples: [] },
    catchment: { added: 0, removed: 0, changed: 1, examples: ["the settings"] },
  });
  assert.match(lines.pop()?.examples[0] ?? "", /take the place/);
  assert.deepEqual(lines, [{ table: "offtakes", words: "2 rows added, 14 rows changed", examples: ["A, quote: blank to 5", "N added"] }]);
});

test("pumps of one landholder that may be funded are a group; groups that share a pump give way", () => {
  const offtakes = { offtake_id: ["A", "B", "C", "D"], holder: [0, -1, 0, 0], fund_state: [1, 1, 2, 0] };
  const groups = ownedGroups({ offtakes } as unknown as Parameters<typeof ownedGroups>[0]);
  assert.deepEqual(groups, [["A", "C"]]);
  const together = withGroup([["A", "B"], ["E", "F"]], ["A", "C"], true);
  assert.deepEqual(together, [["E", "F"], ["A", "C"]]);
  assert.equal(isTogether(together, ["C", "A"]), true);
  assert.deepEqual(withGroup(together, ["A", "C"], false), [["E", "F"]]);
});

test("a newer edition of one's own is told once it can be shown, somebody else's as such", async () => {
  const now = { edition: "e", revision: 1, latest_revision: 1, data_version: "", changed_at: "", working_out: false, failure: null };
  let told = { ...now };
  const heard: string[] = [];
  const watch = new EditionWatch("e", 1, async () => told, {
    ready: ({ revision }, own) => heard.push(`${revision} ${own ? "mine" : "theirs"}`),
    behind: ({ failure }, own) => heard.push(`${failure} ${own ? "mine" : "theirs"}`),
  }, 5);
  await new Promise((resolve) => setTimeout(resolve, 30));
  assert.deepEqual(heard, []);
  told = { ...now, revision: 2, latest_revision: 2 };
  await new Promise((resolve) => setTimeout(resolve, 30));
  assert.deepEqual(heard, ["2 theirs"]);
  told = { ...now, revision: 2, latest_revision: 3, working_out: true };
  watch.wrote(3);
  await new Promise((resolve) => setTimeout(resolve, 30));
  assert.equal(heard.at(-1), "null mine");
  told = { ...now, revision: 3, latest_revision: 3 };
  await new Promise((resolve) => setTimeout(resolve, 500));
  assert.equal(heard.at(-1), "3 mine");
  watch.dispose();
});

test("a page that nobody sees asks for no edition, and looks once it is seen again", async () => {
  const now = { edition: "e", revision: 1, latest_revision: 1, data_version: "", changed_at: "", working_out: false, failure: null };
  let [asked, hidden] = [0, false];
  let seen = (): void => undefined;
  const sight = { isHidden: () => hidden, onSeen: (hear: () => void) => ((seen = hear), () => (seen = () => undefined)) };
  const ask = async (): Promise<typeof now> => ((asked += 1), now);
  const watch = new EditionWatch("e", 1, ask, { ready: () => undefined, behind: () => undefined }, 5, sight);
  await new Promise((resolve) => setTimeout(resolve, 40));
  assert.ok(asked > 1);
  hidden = true;
  await new Promise((resolve) => setTimeout(resolve, 20));
  const before = asked;
  await new Promise((resolve) => setTimeout(resolve, 60));
  assert.equal(asked, before);
  hidden = false;
  seen();
  await new Promise((resolve) => setTimeout(resolve, 30));
  assert.ok(asked > before);
  watch.dispose();
});

test("a place too far from the river is told with its distance and the limit, the setting's name in brackets", () => {
  const told = farWords({ reach_id: "r12", reach_name: "Heron Creek", distance_m: 412.4, limit_m: 250 }).replaceAll("\u00a0", " ");
  assert.match(told, /412 m from the nearest reach \(Heron Creek, r12\), and at most 250 m .*\(a setting, snap_limit_m\)/);
});
