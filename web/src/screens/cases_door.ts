// The way to the saved cases: a button at the head of the page. What is behind it is fetched on demand.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import type { CaseTold } from "../wire/cases.ts";
import { me } from "../wire/me.ts";

export interface CasesDoor {
  /** `saving` opens the form that saves, with a word on why. */
  readonly open: (saving?: string) => void;
  readonly dispose: Dispose;
}

/** Null where there are none to save or read: read from a file, or seen as somebody else. `drawers` holds
 * what opens: all of them for the lead, those shared for whoever else has an account. */
export function mountCasesDoor(actions: HTMLElement, drawers: HTMLElement, desk: Desk, opened: CaseTold | null): CasesDoor | null {
  const { facts, offtakes } = desk.scene;
  const isReader = me().viewer === "agency" && me().accounts && offtakes.viewer === "agency";
  if (!facts.working || (offtakes.viewer !== "lead" && !isReader)) return null;
  const button = element("button", { type: "button", class: "strip-button", "aria-haspopup": "dialog" }, ["Cases"]);
  actions.append(button);
  let drawer: Promise<CasesDoor> | null = null;
  let gone = false;

  function open(saving?: string): void {
    drawer ??= isReader
      ? import("../parts/shared_cases.ts").then(({ mountSharedCases }) => mountSharedCases(drawers, facts.currency))
      : import("../parts/case_drawer.ts").then(({ mountCaseDrawer }) => mountCaseDrawer(drawers, desk, opened));
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
