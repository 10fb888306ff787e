// Where field days are planned and what came of them is taken over: a drawer over the list, the run on the map.
import { type Dispose, together } from "../core/dispose.ts";
import type { Desk } from "../core/desk.ts";
import { LongWork } from "../core/long_work.ts";
import { degrees } from "../core/mercator.ts";
import { stopLabel } from "../core/visit_words.ts";
import { VisitsKept } from "../core/visits_kept.ts";
import ofSheets from "../look/cases.css" with { type: "text" };
import ofData from "../look/data.css" with { type: "text" };
import ofForms from "../look/edit.css" with { type: "text" };
import ofDays from "../look/visit_days.css" with { type: "text" };
import ofNotes from "../look/visit_notes.css" with { type: "text" };
import ofVisits from "../look/visits.css" with { type: "text" };
import { dress } from "../parts/dress.ts";
import { type Drawer, openDrawer } from "../parts/edit_drawer.ts";
import { element } from "../parts/element.ts";
import { mountVisitNotes } from "../parts/visit_notes.ts";
import { mountVisitPlan } from "../parts/visit_plan.ts";
import { mountVisitRuns } from "../parts/visit_runs.ts";
import { keepOneStop } from "../parts/roving.ts";
import { mountVisitWays, type Numbered, type VisitWays } from "../surface/visit_ways.ts";
import { ordering, planning } from "../wire/visits.ts";
import { visitsOpen, type VisitsPlaces } from "./visits_door.ts";

export interface VisitsRoom {
  readonly open: () => void;
  readonly dispose: Dispose;
}

type Tab = "plan" | "runs" | "notes";
const TAB_WORDS: Readonly<Record<Tab, string>> = { plan: "Plan", runs: "Runs", notes: "Notes brought back" };

/** Outlives the page, which is taken down when its data are new. */
const kept = new VisitsKept(new LongWork(planning()), new LongWork(ordering()));
let lastTab: Tab = "plan";

export function mountVisitsRoom({ desk, map, listArea, wrote }: VisitsPlaces & { readonly desk: Desk }): VisitsRoom {
  for (const each of [ofSheets, ofForms, ofData, ofVisits, ofDays, ofNotes]) dress(each);
  const { scene, chosen } = desk;
  const tabs: readonly Tab[] = !scene.facts.working ? ["plan"] : wrote ? ["plan", "runs", "notes"] : ["plan", "runs"];
  let drawer: Drawer | null = null;
  let ways: VisitWays | null = null;
  let [within, leave]: [Dispose, Dispose] = [() => undefined, () => undefined];

  function open(): void {
    if (drawer) return;
    const named = new Map(tabs.map((tab) => [tab, element("button", { type: "button", class: "segment" }, [TAB_WORDS[tab]])] as const));
    const nav = element("nav", { class: "segments data-nav", "aria-label": "Visits" }, [...named.values()]);
    const place = element("div", { class: "data-place" });
    const told = element("p", { class: "case-told visit-told", role: "status" });
    drawer = openDrawer(listArea, "visits", "Visits", shut);
    const mapToo = element("button", { type: "button", class: "strip-button visit-map-too", "aria-pressed": "false" }, ["Map in sight"]);
    mapToo.addEventListener("click", () => {
      const on = mapToo.getAttribute("aria-pressed") !== "true";
      mapToo.setAttribute("aria-pressed", String(on));
      drawer?.moving(on);
      if (on) map.leaflet.getContainer().scrollIntoView({ block: "start" });
    });
    drawer.body.append(element("div", { class: "visit-tabs" }, [...(tabs.length > 1 ? [nav] : []), mapToo]), told, place);
    const turn = (tab: Tab, words = ""): void => {
      within();
      lastTab = tab;
      told.textContent = words;
      for (const [each, button] of named) {
        if (each === tab) button.setAttribute("aria-current", "true");
        else button.removeAttribute("aria-current");
      }
      within = fill(place, tab, turn);
    };
    for (const [tab, button] of named) button.addEventListener("click", () => turn(tab));
    ways = mountVisitWays(map.leaflet);
    const oneStop = keepOneStop(nav, [...named.values()]);
    leave = together([ways.dispose, kept.onChange(showWays), oneStop.dispose]);
    showWays();
    visitsOpen.now = true;
    turn(tabs.includes(lastTab) ? lastTab : "plan");
  }

  function shut(): void {
    within();
    leave();
    [within, leave] = [() => undefined, () => undefined];
    drawer = ways = null;
    visitsOpen.now = false;
  }

  function fill(place: HTMLElement, tab: Tab, turn: (tab: Tab, words?: string) => void): Dispose {
    const show = (code: string): void => chosen.select(scene.offtakes.offtake_id.indexOf(code), "search");
    if (tab === "runs") {
      return mountVisitRuns(place, {
        opened: () => kept.now?.run?.id ?? "",
        open: (run) => {
          kept.open(run);
          turn("plan", `${run.name} is open: its order can be moved.`);
          ways?.reveal();
        },
        gone: (id) => kept.gone(id),
      });
    }
    if (tab === "notes" && wrote) {
      return mountVisitNotes(place, desk, {
        show,
        wrote: (done, codes, words) => {
          drawer?.dispose();
          wrote(done.revision, codes, words);
        },
      });
    }
    return mountVisitPlan(place, desk, kept, {
      show,
      point: (code) => chosen.hover(scene.offtakes.offtake_id.indexOf(code), "card"),
      middle: () => {
        const { lat, lng } = map.leaflet.getCenter();
        return { lon: lng, lat };
      },
      reveal: () => ways?.reveal(),
      saved: (words) => turn("runs", words),
    });
  }

  function showWays(): void {
    const { offtake_id: ids, lon, lat } = scene.offtakes;
    const order = kept.now?.order ?? [];
    const placed = (code: string, label: string): Numbered[] => {
      const row = ids.indexOf(code);
      return row < 0 ? [] : [{ lon: degrees(lon[row] ?? 0), lat: degrees(lat[row] ?? 0), label }];
    };
    ways?.show({
      start: kept.now?.start ?? null,
      straight: kept.now?.told.used_roads === false,
      days: order.map((codes, day) => codes.flatMap((code, at) => placed(code, stopLabel(day, at, order.length)))),
    });
  }

  return {
    open,
    dispose: () => {
      const wasOpen = visitsOpen.now;
      drawer?.dispose();
      visitsOpen.now = wasOpen;
    },
  };
}
