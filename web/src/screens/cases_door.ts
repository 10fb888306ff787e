// The way to the saved cases: a button at the head of the page. What is behind it is fetched on demand.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { CaseDrawer } from "../parts/case_drawer.ts";
import { element } from "../parts/element.ts";
import type { CaseTold } from "../wire/cases.ts";

export interface CasesDoor {
  /** `saving` opens the form that saves, with a word on why. */
  readonly open: (saving?: string) => void;
  readonly dispose: Dispose;
}

/** Null where none can be saved: read from a file, or seen as somebody else. `drawers` holds what opens. */
export function mountCasesDoor(actions: HTMLElement, drawers: HTMLElement, desk: Desk, opened: CaseTold | null): CasesDoor | null {
  const { facts, offtakes } = desk.scene;
  if (!facts.working || offtakes.viewer !== "lead") return null;
  const button = element("button", { type: "button", class: "strip-button", "aria-haspopup": "dialog" }, ["Cases"]);
  actions.append(button);
  let drawer: Promise<CaseDrawer> | null = null;
  let gone = false;

  function open(saving?: string): void {
    drawer ??= import("../parts/case_drawer.ts").then(({ mountCaseDrawer }) => mountCaseDrawer(drawers, desk, opened));
    drawer.then(
      (each) => {
        if (!gone) each.open(saving);
      },
      () => {
        drawer = null;
        button.textContent = "Cases: try again";
      },
    );
  }

  return {
    open,
    dispose: together([
      () => void drawer?.then((each) => each.dispose(), () => undefined),
      () => (gone = true),
      listen(button, "click", () => open()),
      () => button.remove(),
    ]),
  };
}
