// What is shown: one of two ways to spend, and the list or what money does. One stop for the tab key;
// arrow keys lead from one to the next.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { WAY_WORDS } from "../core/fund_words.ts";
import type { Way } from "../core/trial.ts";
import { element } from "./element.ts";

export const TABS = { list: "List", money: "Money and benefit" } as const;
export type Tab = keyof typeof TABS;

export interface WaysBar {
  /** Shows a tab; without one, the other than now. */
  readonly turn: (tab?: Tab) => void;
  readonly dispose: Dispose;
}

/** `panels` are shown one at a time. */
export function mountWaysBar(host: HTMLElement, { trial, outcome }: Desk, panels: Readonly<Record<Tab, HTMLElement>>, turned: (tab: Tab) => void): WaysBar {
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
  let shown: Tab = "list";
  let stop = 0;

  function show(): void {
    const { way } = trial.now;
    for (const each of ways) each.button.setAttribute("aria-checked", String(each.way === way));
    for (const each of tabs) {
      each.button.setAttribute("aria-selected", String(each.tab === shown));
      panels[each.tab].hidden = each.tab !== shown;
    }
    buttons.forEach((button, at) => (button.tabIndex = at === stop ? 0 : -1));
  }

  function turn(tab: Tab = shown === "list" ? "money" : "list"): void {
    shown = tab;
    show();
    turned(tab);
  }

  function take(button: HTMLButtonElement): void {
    stop = buttons.indexOf(button);
    const way = button.dataset["way"] as Way | undefined;
    if (way) trial.change({ way });
    else turn(tabs.find((each) => each.button === button)?.tab);
    show();
  }

  function pressed(event: KeyboardEvent): void {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!step || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    stop = (stop + step + buttons.length) % buttons.length;
    show();
    buttons[stop]?.focus();
  }

  show();
  const dispose = together([
    outcome.onChange(show),
    listen(bar, "keydown", pressed),
    ...buttons.map((button) => listen(button, "click", () => take(button))),
    () => bar.remove(),
  ]);
  return { turn, dispose };
}
