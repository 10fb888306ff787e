// Words of a meeting that everyone will read: what may tell who somebody is, and what a place is called.
import assert from "node:assert/strict";
import { test } from "node:test";
import { mayTell } from "../src/meet/lead_area.ts";
import { closingWords } from "../src/meet/lead_words.ts";
import type { Lead, Meeting } from "../src/meet/told.ts";
import { avoidedWords, nearWords } from "../src/meet/words.ts";

test("a volume or two capitalised words in a row are asked about, names on the map and a sentence's beginning are not", () => {
  const asked = ["J. Smith’s pump", "as John Smith said", "takes 40 ML/d", "12 l/s", "0.3 m3/s", "1 m³/s", "5 cfs"];
  for (const words of asked) assert.ok(mayTell(words), words);
  const quiet = ["The Lantern is low", "24 offtakes join, 86 in all", "along Lantern River", "10 mlles", "We agree. Screens first."];
  for (const words of quiet) assert.ok(!mayTell(words, ["Lantern River"]), words);
});

test("a place is called by the nearest town, or by an offtake that is nearer", () => {
  const meeting = { offtakes: [{ code: "LN-1", x_mm: 0, y_mm: 0 }], map: { towns: [{ name: "Tarn", size: 1, x_mm: 10, y_mm: 0 }] } } as unknown as Meeting;
  assert.deepEqual([nearWords(meeting, 4, 0), nearWords(meeting, 6, 0), nearWords(meeting, 10, 0)], ["near offtake LN-1", "near Tarn", "at Tarn"]);
});

test("closing tells the numbers of what is agreed, and what is chosen and not agreed", () => {
  const agreed = { what: "trial", at: "2025-11-30T10:42:00Z", inside_count: 86, benefit_share: 0.24 } as unknown as Lead["agreed"];
  const [first = "", second = ""] = closingWords(agreed, { words: "", left_open: "" }, "The case as it stands");
  assert.match(first, /the trial, 86\u00a0offtakes, 24\u00a0% of the loss avoided/);
  assert.match(second, /^Chosen above and not agreed/);
});

test("a best set that is not proven avoids at least its share", () => {
  assert.deepEqual([avoidedWords({ inside: 1, benefit_share: 0.45, gap: 0 }), avoidedWords({ inside: 1, benefit_share: 0.45, gap: 0.01 })], ["45\u00a0%", "at least 45\u00a0%"]);
});
