// Offers in words: committed money is a ledger of its own beside what the list counts.
import assert from "node:assert/strict";
import { test } from "node:test";
import { besideCounted, countedWords, ledgerWords } from "../src/core/offer_words.ts";
import type { Offers } from "../src/wire/offers.ts";

const NONE: Offers = { offers: [], committed_total: 0, spent_total: 0, accepted_committed: 0, accepted_counted: 0, accepted_unmatched: 0 };

test("how far a committed sum stands from the cost counted is said, above, below and alike", () => {
  assert.equal(besideCounted(52_000, 48_000), "52,000 committed, 48,000 counted: 4,000 above");
  assert.equal(besideCounted(45_000.4, 48_000), "45,000 committed, 48,000 counted: 3,000 below");
  assert.equal(besideCounted(48_000.3, 47_999.8), "48,000 committed, 48,000 counted: the same");
});

test("an offer that is not counted is set beside nothing, one without a sum says so", () => {
  assert.equal(countedWords({ committed: 5, counted: null }), "");
  assert.equal(countedWords({ committed: null, counted: 48_000 }), "no sum committed, 48,000 counted");
});

test("all accepted offers together stand beside what is counted for them; those without a sum are counted apart", () => {
  assert.equal(ledgerWords(NONE), "");
  const told = ledgerWords({ ...NONE, accepted_committed: 152_000, accepted_counted: 148_000, accepted_unmatched: 2 });
  assert.match(told, /152,000 committed, 148,000 counted: 4,000 above/);
  assert.match(told, /2 accepted have no sum committed/);
});
