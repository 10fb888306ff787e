// Taking a run offline, and the exact statement of what is held: said only of what was read back.
import { element } from "../parts/element.ts";
import type { Dispose } from "../core/dispose.ts";
import { on } from "./bus.ts";
import { fetchAlong, heldOf, takeOffline } from "./packs.ts";
import { button } from "./parts.ts";
import { connectionNow } from "./sending.ts";
import { askToLast, canBeOffline } from "./shell.ts";
import { heldWords } from "./words.ts";

export interface HeldPart {
  readonly element: HTMLElement;
  /** Whether the run is on the phone may be another by now. */
  readonly refresh: (isHeld: boolean) => void;
  readonly dispose: Dispose;
}

export function makeHeldPart(runId: string, first: boolean, papers: boolean): HeldPart {
  const told = element("p", { class: "held", role: "status" });
  const take = button("", "", () => void go());
  const paper = element("div", { class: "papers" });
  let isHeld = first;
  let gone = false;
  let busy = false;

  function say(words: string, kind: string): void {
    if (gone) return;
    told.textContent = words;
    told.className = `held ${kind}`;
  }

  async function look(): Promise<void> {
    const held = await heldOf(runId).catch((error: unknown) => reasonOf(error));
    if (busy) return; // it says itself what came of it
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
        say("Fetched just now.", "");
      }
    } catch (error) {
      const why = reasonOf(error);
      const held = await heldOf(runId).catch(() => "");
      if (typeof held === "string") say(`Not taken offline. ${why} ${held}`, "held-not");
      else say(`Not fetched again. ${why} What was held still is. ${heldWords(held)}`, "held-all");
    } finally {
      busy = false;
      showTake();
    }
  }

  function showTake(): void {
    take.textContent = isHeld ? "Take offline again" : canBeOffline() ? "Take offline" : "Open it here";
    take.classList.toggle("main", !isHeld);
  }

  function refresh(now: boolean): void {
    if (now === isHeld) return;
    isHeld = now;
    if (busy) return;
    showTake();
    if (!isHeld) say("", "");
    else if (canBeOffline()) void look();
  }

  /** Paper and GPX come from the service. */
  function showPapers(): void {
    if (!papers) return;
    const off = !navigator.onLine || connectionNow().connection === "off";
    if (paper.childElementCount && off === paper.classList.contains("is-off")) return;
    paper.classList.toggle("is-off", off);
    paper.replaceChildren(
      ...(off
        ? [
            disabled("Printed run sheet"),
            disabled("GPX file"),
            element("p", {}, ["No connection: the printed run sheet and the GPX file are made by the service. Save them while there is a connection."]),
          ]
        : [element("a", { class: "button", href: `/print/run/${runId}` }, ["Printed run sheet"]), element("a", { class: "button", href: `/files/run/${runId}.gpx`, download: "" }, ["GPX file"])]),
    );
  }

  showTake();
  showPapers();
  const stopHearing = on("connection", showPapers);
  if (isHeld && canBeOffline()) void look();
  return {
    element: element("div", { class: "held-part" }, [
      take,
      told,
      ...(papers ? [paper] : []),
    ]),
    refresh,
    dispose: () => {
      gone = true;
      stopHearing();
    },
  };
}

function reasonOf(error: unknown): string {
  return error instanceof Error ? error.message : "Something did not come.";
}

function disabled(words: string): HTMLElement {
  return element("button", { type: "button", class: "button", disabled: "" }, [words]);
}
