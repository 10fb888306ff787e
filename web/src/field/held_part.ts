// Taking a run offline, and the exact statement of what is held: said only of what was read back.
import { element } from "../parts/element.ts";
import type { Dispose } from "../core/dispose.ts";
import { fetchAlong, heldOf, leaveBehind, takeOffline } from "./packs.ts";
import { button } from "./parts.ts";
import { RUNS } from "./screen.ts";
import { askToLast, canBeOffline } from "./shell.ts";
import { heldWords } from "./words.ts";

export function makeHeldPart(runId: string, isHeld: boolean, papers: boolean): { element: HTMLElement; dispose: Dispose } {
  const told = element("p", { class: "held", role: "status" });
  const take = button(isHeld ? "Take offline again" : canBeOffline() ? "Take offline" : "Open it here", isHeld ? "" : "main", () => void go());
  let gone = false;
  let busy = false;

  function say(words: string, kind: string): void {
    if (gone) return;
    told.textContent = words;
    told.className = `held ${kind}`;
  }

  async function look(): Promise<void> {
    const held = await heldOf(runId);
    if (typeof held === "string") say(held, "held-not");
    else say(heldWords(held), "held-all");
  }

  async function go(): Promise<void> {
    if (busy) return;
    busy = true;
    take.textContent = "Fetching…";
    say("Fetching the run and the page…", "");
    try {
      if (canBeOffline()) {
        void askToLast();
        const held = await takeOffline(runId);
        say(heldWords(held), "held-all");
      } else {
        await fetchAlong(runId);
      }
    } catch (error) {
      say(`Not taken offline. ${error instanceof Error ? error.message : "Something did not come."}`, "held-not");
    } finally {
      busy = false;
      take.textContent = "Take offline again";
    }
  }

  /** Asked twice: without a connection the run could not be fetched again. */
  const remove = button("Take it off this phone", "", () => {
    if (remove.dataset["sure"]) {
      void leaveBehind(runId).then(() => (location.hash = RUNS));
      return;
    }
    remove.dataset["sure"] = "yes";
    remove.textContent = "Yes, take it off; my notes stay";
  });

  if (isHeld && canBeOffline()) void look();
  return {
    element: element("div", { class: "held-part" }, [
      take,
      told,
      ...(papers
        ? [
            element("a", { class: "button", href: `/print/run/${runId}` }, ["Printed run sheet"]),
            element("a", { class: "button", href: `/files/run/${runId}.gpx`, download: "" }, ["GPX file"]),
          ]
        : []),
      ...(isHeld ? [remove] : []),
    ]),
    dispose: () => (gone = true),
  };
}
