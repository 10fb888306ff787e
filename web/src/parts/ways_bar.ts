// What is shown: one of two ways to spend, and the list or what money does. One stop for the tab key;
// arrow keys lead from one to the next.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { WAY_WORDS } from "../core/fund_words.ts";
import type { Tab, Way } from "../core/trial.ts";
import { element } from "./element.ts";
import { keepOneStop } from "./roving.ts";

export const TABS: Readonly<Record<Tab, string>> = { list: "List", money: "Money and benefit" };

/** `panels` are shown one at a time; `turned` is told which, at first too where it is not the list. */
export function mountWaysBar(host: HTMLElement, { trial }: Desk, panels: Readonly<Record<Tab, HTMLElement>>, turned: (tab: Tab) => void): Dispose {
  const ways = (["score", "best"] as const).map((way) => ({
    way,
    button: element("button", { type: "button", class: "segment", role: "radio", "data-way": way }, [WAY_WORDS[way]]),
  }));
  const tabs = (Object.keys(TABS) as Tab[]).map((tab) => ({
    tab,
    button: element("button", { type: "button", class: "segment", role: "tab", id: `tab-${tab}`, "aria-controls": `panel-${tab}` }, [TABS[tab]]),
  }));
  const buttons = [...ways, ...tabs].map(({ button }) => button);
  const bar = element("div", { class: "ways", role: "toolbar", "aria-label": "What is shown" }, [
    element("div", { class: "segments", role: "radiogroup", "aria-label": "Way to spend" }, ways.map(({ button }) => button)),
    element("div", { class: "segments", role: "tablist", "aria-label": "View" }, tabs.map(({ button }) => button)),
  ]);
  host.append(bar);
  for (const { tab } of tabs) {
    const panel = panels[tab];
    panel.id = `panel-${tab}`;
    panel.setAttribute("role", "tabpanel");
    panel.setAttribute("aria-labelledby", `tab-${tab}`);
  }

  function show(): void {
    const { way, tab, held } = trial.now;
    for (const each of ways) {
      each.button.setAttribute("aria-checked", String(each.way === way));
      each.button.setAttribute("aria-disabled", String(held));
    }
    for (const each of tabs) {
      each.button.setAttribute("aria-selected", String(each.tab === tab));
      panels[each.tab].hidden = each.tab !== tab;
    }
  }

  function take(button: HTMLButtonElement): void {
    const way = button.dataset["way"] as Way | undefined;
    const tab = tabs.find((each) => each.button === button)?.tab;
    trial.change(way ? { way } : { tab: tab ?? "list" });
  }

  show();
  if (trial.now.tab !== "list") turned(trial.now.tab);
  return together([
    trial.onChange((now, before) => {
      show();
      if (now.tab !== before.tab) turned(now.tab);
    }),
    keepOneStop(bar, buttons).dispose,
    ...buttons.map((button) => listen(button, "click", () => take(button))),
    () => bar.remove(),
  ]);
}
