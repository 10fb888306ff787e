// The parts only the lead has: the two ways to spend, the best set's bar, and what money does.
import type { Desk, FundDesk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import { mountFundBar } from "../parts/fund_bar.ts";
import { mountWaysBar } from "../parts/ways_bar.ts";

export interface FundParts {
  /** Where the list belongs. */
  readonly listPanel: HTMLElement;
  readonly dispose: Dispose;
}

/** Ways above the controls, the bar below them; the panels go where the list is to stand. */
export function mountFundParts(above: HTMLElement, below: HTMLElement, panels: HTMLElement, desk: Desk, listShown: () => void): FundParts {
  const { fund } = desk;
  if (!fund) return { listPanel: panels, dispose: () => undefined };
  const list = element("div", { class: "tab-panel" });
  const money = element("div", { class: "tab-panel tab-money" });
  panels.append(list, money);
  const panel = moneyOnDemand(money, desk, fund);
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
    mountWaysBar(above, desk, { list, money }, (tab) => (tab === "money" ? panel.open() : listShown())),
    mountFundBar(below, desk, fund),
  ]);
  return { listPanel: list, dispose };
}

/** What money does is fetched when it is first looked at. */
function moneyOnDemand(host: HTMLElement, desk: Desk, fund: FundDesk): { readonly open: () => void; readonly dispose: Dispose } {
  let [asked, gone] = [false, false];
  let dispose: Dispose = () => undefined;
  const open = async (): Promise<void> => {
    if (asked) return;
    asked = true;
    try {
      const { mountMoneyPanel } = await import("../parts/money_panel.ts");
      host.replaceChildren();
      if (!gone) dispose = mountMoneyPanel(host, desk, fund);
    } catch {
      asked = false;
      host.replaceChildren(element("p", { class: "work-wrong", role: "alert" }, ["This part of the page could not be fetched; turn to the list and back to try again."]));
    }
  };
  return {
    open: () => void open(),
    dispose: () => {
      gone = true;
      dispose();
    },
  };
}
