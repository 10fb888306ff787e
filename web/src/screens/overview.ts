// The first screen: the ranked list beside the map, always agreeing.
import { NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import type { Steps } from "../core/history.ts";
import { riskStep } from "../core/risk.ts";
import { makeScene } from "../core/scene.ts";
import { mountControlStrip } from "../parts/control_strip.ts";
import { element } from "../parts/element.ts";
import { mountKeyHelp } from "../parts/key_help.ts";
import { mountLegend } from "../parts/legend.ts";
import { mountLegendFold } from "../parts/legend_fold.ts";
import { mountLinkNote } from "../parts/link_note.ts";
import { keepMapInView } from "../parts/map_in_view.ts";
import { mountMasthead } from "../parts/masthead.ts";
import { mountPartial } from "../parts/notice.ts";
import { mountRankedList } from "../parts/ranked_list.ts";
import { keepOneStop } from "../parts/roving.ts";
import { mountViewNote } from "../parts/view_note.ts";
import type { WhyPanel } from "../parts/why_panel.ts";
import { mountRiverMap, type RiverMap } from "../surface/river_map.ts";
import { type Essentials, fetchFineRivers, type Surroundings } from "../wire/catchment.ts";
import type { Reaches } from "../wire/contract.ts";
import type { Me } from "../wire/me.ts";
import { mountAccountDoor } from "./account_door.ts";
import { keepAddress } from "./address.ts";
import { mountCasesDoor } from "./cases_door.ts";
import { dataDoor } from "./data_door.ts";
import { mountFundParts } from "./fund_parts.ts";
import { keyActions } from "./key_actions.ts";
import type { OpenedCase } from "./opened_case.ts";
import { openOn } from "./opening.ts";
import { keepSteps } from "./steps_kept.ts";
import { keepTheme } from "./theme.ts";
import { mountVisitsDoor } from "./visits_door.ts";

const CAUTION =
  "It ranks and budgets; it does not design. A built screen is designed by a qualified engineer to " +
  "the criteria and permits of the place. Numbers are planning estimates from the data shown above.";

/** What a case keeps, with what only pages of cases need. */
export async function openCase(id: string): Promise<OpenedCase> {
  const { openCase: open } = await import("./opened_case.ts");
  return open(id);
}

/** For somebody the service does not know yet; what only they need comes with it. */
export async function openSignIn(host: HTMLElement, me: Me, signedIn: () => void): Promise<Dispose> {
  const { mountSignIn } = await import("../parts/sign_in_screen.ts");
  return mountSignIn(host, me, signedIn);
}

/** Shows the case that was opened, else the catchment as it is now. */
export function mountOverview(host: HTMLElement, essentials: Essentials, surroundings: Promise<Surroundings>, opened: OpenedCase | null = null): Dispose {
  let dispose: Dispose = () => undefined;
  const mount = (now: Essentials, around: Promise<Surroundings>, steps: Steps | null): void => {
    dispose();
    dispose = mountOn(host, now, around, { opened, steps, renew: mount });
  };
  mount(essentials, surroundings, null);
  return () => dispose();
}

interface Before {
  readonly opened: OpenedCase | null;
  /** What was tried on the data before, where they are new. */
  readonly steps: Steps | null;
  /** Shows other data; what is tried, what is open and where the map looks stay, as the address says. */
  readonly renew: (essentials: Essentials, surroundings: Promise<Surroundings>, steps: Steps) => void;
}

function mountOn(host: HTMLElement, essentials: Essentials, surroundings: Promise<Surroundings>, { opened, steps, renew }: Before): Dispose {
  const scene = makeScene(essentials);
  const opening = openOn(scene, opened, steps);
  const { desk, undoing, base, onCase, link } = opening;
  const { chosen, trial } = desk;
  const summary = element("p", { id: "map-summary", class: "unseen", "aria-live": "polite" });
  const canvas = element("div", { class: "map", role: "group", "aria-label": "Map of the catchment", "aria-describedby": "map-summary" });
  const mapArea = element("section", { class: "map-area", "aria-label": "Map" }, [summary, canvas]);
  const listArea = element("section", { class: "list-area", "aria-label": "Ranked list" });
  const listBelow = element("div", { class: "list-below" });
  const main = element("main", { class: "overview" }, [mapArea, listArea]);
  const caution = element("footer", { class: "caution" }, [element("p", {}, [CAUTION])]);

  const head = mountMasthead(host, desk);
  const cases = mountCasesDoor(head.actions, host, desk, opened?.told ?? null);
  const door = dataDoor(scene, head.actions, (words) => void mountPartial(mapArea, words));
  const visits = mountVisitsDoor(head.actions, desk);
  const account = mountAccountDoor(head.actions, host, () => leavePage(dispose, trial.now.theme));
  const headStop = oneHeadStop(head.actions);
  const banner = opened?.mountBanner(head.head, desk, () => cases?.open("Save this trial as a new case."));
  host.append(main, caution);
  const theme = keepTheme(trial);
  const describe = (words: string): void => {
    summary.textContent = words;
  };
  const above = element("div", { class: "controls" });
  listArea.append(above);
  const strip = mountControlStrip(listArea, desk, undoing);
  const below = element("div", { class: "controls" });
  listArea.append(below, listBelow);
  const fund = mountFundParts(above, below, listBelow, desk, () => list.reveal());
  const linkNote = mountLinkNote(below, desk);
  const note = mountViewNote(below, desk);
  const list = mountRankedList(fund.listPanel, desk);
  const legend = together([mountLegend(mapArea, desk), mountLegendFold(mapArea, host)]);
  const keyHelp = mountKeyHelp(caution, keyActions(desk, strip, list, cases && (() => cases.open()), visits && visits.open));

  // The map comes last: what stands around it says how large it is, and it is drawn once.
  let why: WhyPanel | null = null;
  const leaving = new AbortController();
  const finerRivers = (): Promise<Reaches> => fetchFineRivers(scene.offtakes.viewer, leaving.signal);
  const covered = (): number => why?.coveredPx(canvas) ?? 0;
  const map = mountRiverMap(canvas, scene, chosen, describe, covered, finerRivers);
  const painted = keepPainted(desk, map);
  linkNote.tell(link);
  const parts: Dispose[] = [
    theme,
    () => door?.dispose(),
    undoing.dispose,
    keepSteps(opening.stepsKey, undoing),
    linkNote.dispose,
    desk.outcome.dispose,
    desk.losses.dispose,
    head.dispose,
    cases?.dispose ?? (() => undefined),
    account,
    headStop,
    () => visits?.dispose(),
    banner ?? (() => undefined),
    () => {
      main.remove();
      caution.remove();
    },
    () => leaving.abort(),
    map.dispose,
    painted,
    legend,
    keepMapInView(desk, canvas),
    strip.dispose,
    fund.dispose,
    note,
    list.dispose,
    keyHelp,
  ];
  let gone = false;
  const dispose = (): void => {
    gone = true;
    together(parts)();
  };
  // Why an offtake stands where it stands is no part of the first picture: its code comes after that.
  const restWith = (panel: WhyPanel | null): void => {
    if (gone) return;
    why = panel;
    const enter = (): void => door?.enter({ desk, map, mapArea, listArea, followSlot: panel?.followSlot ?? null, renew: (next, around) => renew(next, around, undoing.steps) });
    surroundings.then(enter, enter);
    visits?.enter({ map, listArea, wrote: door?.isLeads ? door.wrote : null });
    if (opened && panel?.followSlot) parts.push(opened.mountBrief(panel.followSlot, desk));
    if (chosen.now.selected === NONE) chosen.select(scene.offtakes.offtake_id.indexOf(opening.selected), "card");
    if (opening.map) map.look(opening.map);
    parts.push(panel?.dispose ?? (() => undefined), keepAddress(desk, map, base, onCase, linkNote.tell));
  };
  import("../parts/why_panel.ts").then(
    ({ mountWhyPanel }) => restWith(gone ? null : mountWhyPanel(listBelow, desk, map, door?.isLeads ? (code, column) => door.open({ name: "edit", code, column }) : null)),
    () => restWith(null),
  );
  surroundings.then(
    (around) => {
      if (!gone) parts.push(map.surround(around));
    },
    () => {
      const message = "Land, roads and towns could not be fetched; rivers and offtakes are complete.";
      if (!gone) parts.push(mountPartial(mapArea, message));
    },
  );
  return dispose;
}

/** The buttons at the head are one stop for the tab key, so that the list stays near. */
function oneHeadStop(actions: HTMLElement): Dispose {
  const buttons = [...actions.querySelectorAll("button")];
  if (buttons.length < 2) return () => undefined;
  actions.setAttribute("role", "toolbar");
  actions.setAttribute("aria-label", "About the whole page");
  return keepOneStop(actions, buttons).dispose;
}

/** Nothing of whoever signed out is left: neither on the page nor with this tab. */
function leavePage(dispose: Dispose, theme: string): void {
  dispose();
  try {
    sessionStorage.clear();
  } catch {
    // a browser that keeps nothing
  }
  history.replaceState(null, "", `${location.pathname}${theme === "light" ? "" : `#t=${theme}`}`);
  location.reload();
}

/** The map draws what the list says, in the same frame. */
function keepPainted({ outcome, losses }: Desk, map: RiverMap): Dispose {
  const paint = (): void => {
    const { marks, order } = outcome.now;
    map.paint(marks, Uint8Array.from(losses.now.risk, riskStep), order);
  };
  paint();
  return together([outcome.onChange(paint), losses.onChange(paint)]);
}
