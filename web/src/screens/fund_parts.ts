// The parts only the lead has: the two ways to spend, the best set's bar, and what money does.
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import { mountFundBar } from "../parts/fund_bar.ts";
import { mountMoneyPanel } from "../parts/money_panel.ts";
import { mountWaysBar, type WaysBar } from "../parts/ways_bar.ts";

export interface FundParts {
  readonly ways: WaysBar | null;
  /** Where the list belongs. */
  readonly listPanel: HTMLElement;
  readonly dispose: Dispose;
}

/** Ways above the controls, the bar below them; the panels go where the list is to stand. */
export function mountFundParts(above: HTMLElement, below: HTMLElement, panels: HTMLElement, desk: Desk, listShown: () => void): FundParts {
  const { fund } = desk;
  if (!fund) return { ways: null, listPanel: panels, dispose: () => undefined };
  const list = element("div", { class: "tab-panel" });
  const money = element("div", { class: "tab-panel tab-money" });
  panels.append(list, money);
  const panel = mountMoneyPanel(money, desk, fund);
  const ways = mountWaysBar(above, desk, { list, money }, (tab) => (tab === "money" ? panel.opened() : listShown()));
  const dispose = together([
    fund.best.dispose,
    fund.curve.dispose,
    fund.howSure.dispose,
    fund.entry.dispose,
    () => {
      list.remove();
      money.remove();
    },
    panel.dispose,
    ways.dispose,
    mountFundBar(below, desk, fund),
  ]);
  return { ways, listPanel: list, dispose };
}
