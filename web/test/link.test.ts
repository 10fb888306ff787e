// Links: what is seen, written into an address and read back.
import assert from "node:assert/strict";
import { test } from "node:test";
import { type Link, linkOf, type Named, readLink, type Seen } from "../src/core/link.ts";
import { paced } from "../src/core/paced.ts";
import { SHOWN_AT_FIRST, type TrialState, UNCONDITIONED } from "../src/core/trial.ts";

const START: TrialState = { weights: { risk: 600, overlap: 100, cost: 300 }, budget: 1_900_000, way: "score", ...UNCONDITIONED, ...SHOWN_AT_FIRST };
const NAMED: Named = {
  codes: new Set(["LN-001", "LN-002", "A&B=1", "C,D:+é/50%"]),
  guilds: new Set(["all", "cod", "two words"]),
  districts: new Set(["Kindle Hills", "Low, Wick: west"]),
};
const SECRET = "The owner promised";

const MUCH: TrialState = {
  weights: { risk: 123, overlap: 0, cost: 877 },
  budget: 1_234_567.89,
  way: "best",
  keptIn: { "LN-001": SECRET, "C,D:+é/50%": SECRET },
  leftOut: { "A&B=1": SECRET },
  districtLeast: { "Kindle Hills": 0.1 + 0.2 },
  districtMost: { "Low, Wick: west": 1, "Kindle Hills": 0.45 },
  mostInstalls: 20,
  together: [["LN-001", "C,D:+é/50%"], ["LN-002", "A&B=1"]],
  unit: "L/s",
  year: "dry",
  guild: "two words",
  theme: "projector",
  tab: "money",
  trialsListed: false,
  held: false,
};

function seen(trial: Partial<TrialState>, part: Partial<Seen> = {}): Seen {
  return { trial: { ...START, ...trial }, selected: "", map: null, ...part };
}

function reopened(text: string, base = START, onCase = false): Link {
  const link = readLink(text, base, NAMED, onCase);
  assert.ok(link);
  return link;
}

const noReasons = (choices: Readonly<Record<string, string>>): Record<string, string> =>
  Object.fromEntries(Object.keys(choices).map((code) => [code, ""]));

test("W8: a link alone reopens all that is seen but the reasons, whatever signs names hold", () => {
  const map = { lat: -34.12345, lon: 145.5, zoom: 9.3 };
  const text = linkOf(seen(MUCH, { selected: "A&B=1", map }), "2e6e678b86a9", false);
  const { trial, selected, map: view, dataVersion, unknown } = reopened(`#${text}`);
  assert.deepEqual(trial, { ...MUCH, keptIn: noReasons(MUCH.keptIn), leftOut: noReasons(MUCH.leftOut) });
  assert.deepEqual([selected, view, dataVersion, unknown], ["A&B=1", map, "2e6e678b86a9", []]);
});

test("no reason is in a link, whole or in part", () => {
  const text = decodeURIComponent(linkOf(seen(MUCH), "v", false));
  for (const word of SECRET.split(" ")) assert.ok(!text.includes(word), text);
});

test("the shortest link still says weights, budget and data version, and reads well", () => {
  assert.equal(linkOf(seen({}), "abc", false), "w=risk:600,overlap:100,cost:300&b=1900000&d=abc");
  assert.deepEqual(reopened("w=risk:600,overlap:100,cost:300&b=1900000&d=abc").trial, START);
});

test("a link that was written again says the same", () => {
  for (const trial of [{}, MUCH, { unit: "cfs", year: "wet" }, { budget: 0, mostInstalls: 0 }] as const) {
    const text = linkOf(seen(trial, { selected: "LN-002" }), "v1", false);
    assert.equal(linkOf(reopened(text), "v1", false), text);
  }
});

test("what these data do not have is left out and named", () => {
  const { trial, unknown, selected } = reopened("w=risk:1,depth:5&in=LN-001,LN-999&least=Nowhere:0.5&g=eel&at=LN-998&with=LN-001%2BLN-002,LN-001+LN-997");
  assert.deepEqual(unknown, ["depth", "LN-999", "Nowhere", "LN-001+LN-002", "LN-997", "eel", "LN-998"]);
  assert.deepEqual([trial.weights, trial.keptIn, trial.districtLeast, trial.together, trial.guild, selected], [{ risk: 1000, overlap: 0, cost: 0 }, { "LN-001": "" }, {}, [], "all", ""]);
});

test("a link that is broken or says nonsense moves nothing by it", () => {
  assert.equal(readLink("", START, NAMED, false), null);
  assert.equal(readLink("#", START, NAMED, false), null);
  for (const text of ["w=risk:-5,cost:x", "b=-3", "b=Infinity", "u=constructor", "y=__proto__", "t=neon", "tab=x", "map=1,2", "map=999,0,3", "in=%E0%A4%A", "n=-1", "way=worst", "x=1&&=&a"]) {
    const { trial, map } = reopened(text);
    assert.deepEqual([trial, map], [START, null], text);
  }
});

test("who may not see money is not given a budget or the best set by a link", () => {
  const { trial } = reopened("b=5&way=best", { ...START, budget: null });
  assert.deepEqual([trial.budget, trial.way], [null, "score"]);
});

test("a link on a case that holds says only how it is shown; what decides is the case's", () => {
  const held = { ...MUCH, held: true, theme: "light", tab: "list" } as const;
  const text = linkOf(seen({ ...held, unit: "cfs" }, { selected: "LN-002" }), "v", true);
  assert.equal(text, "u=cfs&y=dry&g=two%20words&at=LN-002&d=v");
  assert.deepEqual(reopened(text, held, true).trial, { ...held, unit: "cfs" });
  assert.deepEqual(reopened(`${text}&b=5&in=LN-002&w=risk:1`, held, true).trial, { ...held, unit: "cfs" });
});

test("a link on a trial on a copy brings the case's reasons, and none where the case has no such choice", () => {
  const held = { ...MUCH, held: true };
  const tried = { ...MUCH, budget: 5, keptIn: { "LN-001": SECRET, "LN-002": "new" }, leftOut: {} };
  const { trial } = reopened(linkOf(seen(tried), "v", true), held, true);
  assert.deepEqual(trial, { ...tried, keptIn: { "LN-001": SECRET, "LN-002": "" } });
});

test("an address is written at once, then no more often than it may, and never forgotten", async () => {
  let times = 0;
  const writing = paced(() => (times += 1), 40);
  for (let tick = 0; tick < 5; tick += 1) writing.soon();
  assert.equal(times, 1);
  await new Promise((resolve) => setTimeout(resolve, 200));
  assert.equal(times, 2);
  writing.soon();
  writing.soon();
  writing.flush();
  assert.equal(times, 4);
  writing.flush();
  writing.soon();
  writing.soon();
  writing.drop();
  await new Promise((resolve) => setTimeout(resolve, 100));
  assert.equal(times, 5);
});
