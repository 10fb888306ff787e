// The why panel's part about money: inside or outside and why, a close call or not, in how many trials,
// what would change it with a button that does, and what is chosen by hand.
import { NONE } from "../core/chosen.ts";
import type { Desk, FundDesk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { entryByScore } from "../core/entry.ts";
import { turnWords } from "../core/fund_words.ts";
import { money } from "../core/numbers.ts";
import type { Shown } from "../core/outcome.ts";
import { bestWords, entryWords, standingTitle } from "../core/why_fund.ts";
import { element } from "./element.ts";
import { mountHandForm } from "./hand_form.ts";
import { GUIDE, whyBlock } from "./why_block.ts";
import { mountWorkLine } from "./work_line.ts";

/** Follows the selected offtake as long as it is mounted. */
export function mountWhyFund(host: HTMLElement, desk: Desk, fund: FundDesk): Dispose {
  const { scene, chosen, trial, outcome, candidates } = desk;
  const { currency } = scene.facts;
  const standing = element("div", { class: "fund-standing" });
  const entry = element("div", { class: "fund-entry" });
  const apply = element("button", { type: "button", class: "strip-button" });
  const back = element("button", { type: "button", class: "quiet" });
  const applied = element("p", { class: "fund-applied" }, [back]);
  const block = whyBlock("fund", "", "a budget is spent", GUIDE.fund, [standing]);
  const title = block.querySelector("h3");
  host.append(block);
  const line = mountWorkLine(block, "What would change it", currency, () => fund.entry.stop(), () => fund.entry.ask());
  block.append(entry, apply, applied);
  const hand = mountHandForm(block, desk, fund);
  let least: number | null = null;
  let before: number | null = null;

  function say(): void {
    const row = chosen.now.selected;
    if (row === NONE) return;
    const { now } = outcome;
    if (title) title.textContent = standingTitle(now, row);
    standing.classList.toggle("stale", now.stale);
    const sentences = [now.way === "best" ? bestWords(scene, candidates, now, row) : "", closeWords(desk, now, row), otherWords(now, row), sureWords(fund, row)];
    standing.replaceChildren(...sentences.filter(Boolean).map((words) => element("p", {}, [words])));
    fund.entry.consider({ ...now.asked, code: scene.offtakes.offtake_id[row] ?? "" });
    sayEntry(now, row);
    hand.show(row);
  }

  function sayEntry(now: Shown, row: number): void {
    const told = now.way === "score" ? byScore(now, row) : inBestSet();
    least = told.least;
    entry.replaceChildren(...told.words.map((words) => element("p", {}, [words])));
    const held = document.activeElement === apply;
    apply.hidden = trial.now.held || least === null || least === trial.now.budget;
    apply.textContent = least === null ? "" : `Set the budget to ${money(least, currency)}`;
    back.textContent = before === null ? "" : `Back to a budget of ${money(before, currency)}`;
    applied.hidden = trial.now.held || before === null || before === trial.now.budget;
    if (held && apply.hidden && !applied.hidden) back.focus();
  }

  function byScore(now: Shown, row: number): { least: number | null; words: string[] } {
    line.show({ words: "", work: NO_WORK, looking: false, again: "" });
    const { bought, order } = now.byScore;
    const budget = now.asked.budget;
    const found = bought && entryByScore(candidates, order, row, bought, budget);
    if (!found) return { least: null, words: [] };
    const words = entryWords(found, { budget, cost: candidates.fundCost[row] ?? NaN }, currency);
    return { least: found.leastBudget, words };
  }

  function inBestSet(): { least: number | null; words: string[] } {
    const { answer, stale, work } = fund.entry.now;
    const known = answer && !stale ? answer : null;
    const looking = work.state === "working";
    line.show({ words: looking ? "Trying budgets and costs…" : "", work, looking, again: known && work.state === "done" ? "" : "What would change it?" });
    if (!known) return { least: null, words: [] };
    return { least: known.inside ? null : known.least_budget, words: [known.sentence] };
  }

  say();
  return together([
    outcome.onChange(say),
    chosen.onChange((now, was) => {
      if (now.selected === was.selected) return;
      before = null;
      say();
    }),
    fund.entry.onChange(() => {
      if (chosen.now.selected !== NONE) sayEntry(outcome.now, chosen.now.selected);
    }),
    fund.howSure.onChange(say),
    listen(apply, "click", () => {
      if (least === null) return;
      before = trial.now.budget;
      trial.change({ budget: least });
    }),
    listen(back, "click", () => {
      const budget = before;
      before = null;
      trial.change({ budget });
    }),
    line.dispose,
    hand.dispose,
    () => block.remove(),
  ]);
}

const NO_WORK = { state: "idle", done: 0, total: 0, answer: null, trouble: null } as const;

function closeWords({ scene }: Desk, { way, best, byScore, inside }: Shown, row: number): string {
  if (way === "best") {
    const because = best?.close_calls?.find((each) => each.row === row)?.because;
    return because ? `A close call: ${because}.` : "";
  }
  const turn = byScore.close.get(row);
  const label = (name: string): string => scene.facts.criteria.find((each) => each.name === name)?.label ?? name;
  return turn ? `A close call: ${turnWords(turn, inside[row] === 1, label)}.` : "";
}

/** Where it stands the other way to spend, where that is known. */
function otherWords({ way, other, inside }: Shown, row: number): string {
  if (!other) return "";
  const alike = Boolean(other[row]) === (inside[row] === 1);
  const [but, too] = alike ? ["", other[row] ? " too" : " either"] : ["But ", ""];
  const told = way === "best" ? (other[row] ? "the list by score funds it" : "the list by score does not fund it") : other[row] ? "it is in the best set" : "it is not in the best set";
  const words = `${but}${told}${too}.`;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function sureWords({ howSure }: FundDesk, row: number): string {
  const { answer, stale } = howSure.now;
  if (!answer) return "";
  const { inside, trials, funded, weightings } = answer;
  const note = stale ? " (worked out for the budget and choices before)" : "";
  return `In the best set in ${inside[row] ?? 0} of ${trials} trials of the data; funded by score under ${funded[row] ?? 0} of ${weightings} weightings${note}.`;
}
