// How sure is all this? Worked out when wanted: who stays inside under other data and other weights, how
// the promise spreads, what moves it most, and what to measure first.
import type { Desk, FundDesk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { decimals, percent } from "../core/numbers.ts";
import { columnWords } from "../core/why_words.ts";
import { wholeAdults, worthText } from "../core/worth.ts";
import type { BestSet, HowSure } from "../wire/fund.ts";
import { element } from "./element.ts";
import { GUIDE, numberTable, whyBlock } from "./why_block.ts";
import { mountWorkLine } from "./work_line.ts";

const EVERY_ONE = "every offtake";
const MOST_MEASURED = 8;

export function mountHowSure(host: HTMLElement, desk: Desk, { howSure }: FundDesk): Dispose {
  const { scene, trial, outcome, chosen } = desk;
  const told = element("div", { class: "sure" });
  const inList = element("input", { type: "checkbox" });
  const listed = element("label", { class: "sure-listed" }, [inList, "Show it in the list, in place of the capacity"]);
  const block = whyBlock("sure", "How sure is it?", "ranges are tried", GUIDE.sure, []);
  host.append(block);
  const line = mountWorkLine(block, "How sure", scene.facts.currency, () => howSure.stop(), () => howSure.ask());
  block.append(told, listed);
  let shown: HowSure | null = null;

  function say(): void {
    const { answer, stale, work } = howSure.now;
    const looking = work.state === "working";
    const before = answer ? "Shown is the answer for the budget and choices before." : "";
    const asks = answer ? `The budget or the choices have changed. ${before}` : "Draws the data anew from their ranges, and the weights at random, and funds each time.";
    const words = looking ? `Trying other data and other weights… ${before}` : stale || !answer ? asks : "";
    line.show({ words, work, looking, again: stale || !answer ? "Work it out" : "" });
    told.classList.toggle("stale-block", stale && answer !== null);
    listed.hidden = !answer;
    if (!answer || answer === shown) return;
    shown = answer;
    told.replaceChildren(...findings(answer, desk));
  }

  say();
  return together([
    howSure.onChange(say),
    outcome.onChange(say),
    trial.onChange((now) => (inList.checked = now.trialsListed)),
    listen(inList, "change", () => trial.change({ trialsListed: inList.checked })),
    listen(told, "click", ({ target }) => {
      const row = (target as Element).closest<HTMLElement>("[data-row]")?.dataset["row"];
      if (row !== undefined) chosen.select(Number(row), "search");
    }),
    line.dispose,
    () => block.remove(),
  ]);
}

function findings(sure: HowSure, desk: Desk): HTMLElement[] {
  const { benefit, assumed, trials, weightings } = sure;
  const firm = sure.inside.filter((count) => count >= 0.9 * trials).length;
  return [
    element("p", {}, [`In ${trials} trials of the data the best set avoids ${percent(benefit.low)} to ${percent(benefit.high)} of the loss, ${percent(benefit.median)} in the middle; each trial seeks its own best set, to within half a per cent. ${firm} offtakes are in it in at least 9 of 10 trials. Weights were tried ${weightings} times.`]),
    ...(assumed.length ? [element("p", { class: "why-note" }, [`Assumed ranges, half to double: ${assumed.join(", ")}.`])] : []),
    bars("By year", "Share of the loss avoided, by year", ["Year", "Avoided, %"], sure.by_year.map(({ year, benefit_share: share }) => ({ name: String(year), low: 0, high: share, text: [percent(share)] }))),
    bars("What moves it most", "Share avoided with an input at its low and high end", ["Input", "Low end", "High end"], sure.sensitivity.map((each) => {
      const [low, high] = [Math.min(each.low_share, each.high_share), Math.max(each.low_share, each.high_share)];
      return { name: [columnWords(each.input), each.guild].filter(Boolean).join(", "), low, high, text: [percent(each.low_share), percent(each.high_share)] };
    })),
    measured(sure, desk),
  ];
}

interface Bar {
  readonly name: string;
  /** Shares; the bar lies between them. */
  readonly low: number;
  readonly high: number;
  readonly text: readonly string[];
}

/** A table whose rows are drawn as bars as well. */
function bars(title: string, caption: string, heads: readonly string[], all: readonly Bar[]): HTMLElement {
  const most = Math.max(...all.map(({ high }) => high), 1e-9);
  const table = numberTable(caption, heads, all.map(({ name, text }) => [name, ...text]));
  table.tHead?.rows[0]?.append(element("td", { "aria-hidden": "true", class: "sure-scale" }, [`0 to ${percent(most)}`]));
  all.forEach(({ low, high }, i) => {
    const bar = element("span", { class: "sure-bar" });
    bar.style.marginInlineStart = `${(100 * low) / most}%`;
    bar.style.width = `${Math.max(0.8, (100 * (high - low)) / most)}%`;
    table.tBodies[0]?.rows[i]?.append(element("td", { class: "sure-drawn", "aria-hidden": "true" }, [bar]));
  });
  return element("section", { class: "sure-part" }, [element("h4", {}, [title]), table]);
}

function measured({ measure }: HowSure, { scene, outcome }: Desk): HTMLElement {
  const { facts, offtakes } = scene;
  const best: BestSet | null = outcome.now.best;
  const whole = best ? wholeAdults(best) : NaN;
  const all = measure.slice(0, MOST_MEASURED);
  const [first] = all;
  const worth = (adults: number): string => {
    if (facts.counted || Number.isFinite(whole)) return worthText(adults, whole, facts);
    return first ? `${decimals((100 * adults) / first.worth_adults, 0)}\u00a0% of the first` : "";
  };
  const table = numberTable("What to measure first", ["Code", "Input", "Worth up to, a year"], all.map(({ row, input, worth_adults: adults, assumed }) => [
    row === null ? EVERY_ONE : (offtakes.offtake_id[row] ?? ""),
    `${columnWords(input)}${assumed ? " (assumed)" : ""}`,
    worth(adults),
  ]));
  table.querySelectorAll("tbody th").forEach((head, i) => {
    if (all[i]?.row === null) return; // a study of a screen serves every offtake
    head.replaceChildren(element("button", { type: "button", class: "quiet priority-code", "data-row": all[i]?.row ?? "" }, [head.textContent ?? ""]));
  });
  const nothing = element("p", {}, ["No single measurement could change the choice."]);
  return element("section", { class: "sure-part" }, [element("h4", {}, ["What to measure first"]), all.length ? table : nothing]);
}
