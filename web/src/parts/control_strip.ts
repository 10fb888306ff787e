// The strip above the list: find an offtake, two drawers that stay shut until wanted, undo and redo.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { Undoing } from "../core/undoing.ts";
import { element } from "./element.ts";
import { keepOneStop } from "./roving.ts";
import { mountSearchBox } from "./search_box.ts";
import { makeUndoButtons } from "./undo_buttons.ts";
import { mountViewDrawer } from "./view_drawer.ts";
import { mountWeightsDrawer } from "./weights_drawer.ts";

export interface ControlStrip {
  readonly search: () => void;
  readonly open: (name: "weights" | "view") => void;
  readonly dispose: Dispose;
}

export function mountControlStrip(host: HTMLElement, desk: Desk, undoing: Undoing): ControlStrip {
  const strip = element("div", { class: "strip" });
  const bar = element("div", { class: "strip-buttons", role: "toolbar", "aria-label": "Weights, view, undo" });
  host.append(strip);
  const search = mountSearchBox(strip, desk);
  strip.append(bar);
  const title = desk.trial.now.budget === null ? "Weights" : "Weights and budget";
  const drawers = {
    weights: drawer("weights", title),
    view: drawer("view", "View"),
  };
  const all = Object.values(drawers);
  const undo = makeUndoButtons(strip, desk.trial, undoing);
  bar.append(...undo.buttons);
  const mounted = [
    mountWeightsDrawer(drawers.weights.body, desk),
    mountViewDrawer(drawers.view.body, desk),
    undo.dispose,
    keepOneStop(bar, [...all.map(({ button }) => button), ...undo.buttons]).dispose,
  ];

  function drawer(name: string, words: string): { button: HTMLButtonElement; body: HTMLElement } {
    const id = `drawer-${name}`;
    const button = element("button", { type: "button", class: "strip-button", "aria-expanded": "false", "aria-controls": id }, [words]);
    const body = element("section", { id, class: `drawer drawer-${name}`, "aria-label": words });
    body.hidden = true;
    bar.append(button);
    host.append(body);
    return { button, body };
  }

  function turn(one: { button: HTMLButtonElement; body: HTMLElement }, open: boolean): void {
    one.body.hidden = !open;
    one.button.setAttribute("aria-expanded", String(open));
  }

  function toggle(one: (typeof all)[number]): void {
    const open = one.body.hidden;
    for (const each of all) turn(each, each === one && open);
    if (open && matchMedia("(width < 1100px)").matches) strip.scrollIntoView({ block: "start" });
  }

  const dispose = together([
    search.dispose,
    ...mounted,
    ...all.flatMap((one) => [
      listen(one.button, "click", () => toggle(one)),
      listen(one.body, "keydown", (event) => {
        if (event.key !== "Escape") return;
        turn(one, false);
        one.button.focus();
      }),
    ]),
    () => {
      strip.remove();
      for (const { body } of all) body.remove();
    },
  ]);
  return {
    dispose,
    search: search.focus,
    open: (name) => {
      const one = drawers[name];
      if (one.body.hidden) toggle(one);
      one.body.querySelector<HTMLElement>("input, select")?.focus();
    },
  };
}
