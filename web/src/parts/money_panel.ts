// The second tab: what money does for the river, what is worth most for the money, and how sure it is.
import type { Desk, FundDesk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { decimals, NOTHING } from "../core/numbers.ts";
import type { Curve } from "../wire/fund.ts";
import { mountCurveChart } from "./curve_chart.ts";
import { element } from "./element.ts";
import { mountHowSure } from "./how_sure.ts";
import { mountPriority } from "./priority_list.ts";
import { GUIDE, numberTable, whyBlock } from "./why_block.ts";
import { TABS } from "./ways_bar.ts";
import { mountWorkLine } from "./work_line.ts";

/** Mounted when it first comes into sight, and what it needs is asked for then. */
export function mountMoneyPanel(host: HTMLElement, desk: Desk, fund: FundDesk): Dispose {
  const { curve } = fund;
  const { currency } = desk.scene.facts;
  const shell = element("div", { class: "money" }, [element("h2", { class: "unseen" }, [TABS.money])]);
  host.append(shell);
  const drawn = element("div", { class: "curve-place" });
  const table = element("details", { class: "why-details" }, [element("summary", {}, ["as a table"])]);
  const block = whyBlock("curve", "What more money would do", "the best set and its bound are found", GUIDE.fund, []);
  shell.append(block);
  const line = mountWorkLine(block, "Curve", currency, () => curve.stop(), () => curve.ask());
  const note = element("p", { class: "why-note" }, ["Hand choices hold along the curve; district shares and most installs play no part in it."]);
  block.append(drawn, note, table);
  const chart = mountCurveChart(drawn, desk);
  const priority = mountPriority(shell, desk, fund);
  const sure = mountHowSure(shell, desk, fund);
  let tabled: Curve | null = null;

  function say(): void {
    const { answer, stale, work } = curve.now;
    const looking = work.state === "working";
    const waiting = answer ? "Working out the curve for these choices; shown is the one before them." : "Working out the best set at a hundred budgets…";
    const asks = answer ? "The hand choices have changed since this was worked out." : "Not worked out yet.";
    line.show({
      words: looking ? waiting : stale || !answer ? asks : "",
      work,
      looking,
      again: stale || !answer ? (work.state === "failed" ? "Try again" : "Work it out") : "",
    });
    drawn.hidden = note.hidden = table.hidden = !answer;
    block.classList.toggle("stale-block", stale && answer !== null);
    if (answer) chart.show(answer);
    fillTable();
  }

  /** Written only once it is unfolded. */
  function fillTable(): void {
    const { answer } = curve.now;
    if (!table.open || !answer || tabled === answer) return;
    tabled = answer;
    table.querySelector("table")?.remove();
    table.append(asTable(answer, currency));
  }

  table.addEventListener("toggle", fillTable);
  const consider = (): void => {
    curve.consider(desk.outcome.now.asked);
    fund.howSure.consider(desk.outcome.now.asked);
  };
  consider();
  say();
  const open = (): void => {
    if (!curve.now.answer && curve.now.work.state === "idle") curve.ask();
  };
  open();
  return together([
    desk.trial.onChange((now, before) => {
      if (now.tab === "money" && before.tab !== "money") open();
    }),
    desk.outcome.onChange(consider),
    curve.onChange(say),
    line.dispose,
    chart.dispose,
    priority,
    sure,
    () => shell.remove(),
  ]);
}

function asTable({ budgets, best, others }: Curve, currency: string): HTMLTableElement {
  const share = (value: number | null | undefined): string => (value == null ? NOTHING : decimals(value * 100, 2));
  const heads = [`Budget${currency ? `, ${currency}` : ""}`, "Best set, %", "At most, %", "Offtakes", ...others.map(({ words }) => `${words}, %`)];
  const rows = budgets.map((budget, i) => [
    decimals(budget, 0),
    share(best.benefit_share[i]),
    share(best.upper_share[i]),
    decimals(best.count[i] ?? 0, 0),
    ...others.map((each) => share(each.benefit_share[i])),
  ]);
  return numberTable("Share of the loss to pumps avoided, by budget", heads, rows);
}
