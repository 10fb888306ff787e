// The first screen: the ranked list beside the map, always agreeing.
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { riskStep } from "../core/risk.ts";
import { makeScene } from "../core/scene.ts";
import { mountControlStrip } from "../parts/control_strip.ts";
import { element } from "../parts/element.ts";
import { mountKeyHelp } from "../parts/key_help.ts";
import { mountLegend } from "../parts/legend.ts";
import { mountLegendFold } from "../parts/legend_fold.ts";
import { keepMapInView } from "../parts/map_in_view.ts";
import { mountMasthead } from "../parts/masthead.ts";
import { mountPartial } from "../parts/notice.ts";
import { mountRankedList } from "../parts/ranked_list.ts";
import { mountViewNote } from "../parts/view_note.ts";
import { mountWhyPanel, type WhyPanel } from "../parts/why_panel.ts";
import { mountRiverMap, type RiverMap } from "../surface/river_map.ts";
import { type Essentials, fetchFineRivers, type Surroundings } from "../wire/catchment.ts";
import type { Reaches } from "../wire/contract.ts";
import { mountFundParts } from "./fund_parts.ts";
import { keyActions } from "./key_actions.ts";
import { makeDesk } from "./make_desk.ts";
import { keepTheme } from "./theme.ts";

const CAUTION =
  "It ranks and budgets; it does not design. A built screen is designed by a qualified engineer to " +
  "the criteria and permits of the place. Numbers are planning estimates from the data shown above.";

export function mountOverview(
  host: HTMLElement,
  essentials: Essentials,
  surroundings: Promise<Surroundings>,
): Dispose {
  const scene = makeScene(essentials);
  const desk = makeDesk(scene);
  const { chosen, trial } = desk;
  const summary = element("p", { id: "map-summary", class: "unseen", "aria-live": "polite" });
  const canvas = element("div", { class: "map", role: "group", "aria-label": "Map of the catchment", "aria-describedby": "map-summary" });
  const mapArea = element("section", { class: "map-area", "aria-label": "Map" }, [summary, canvas]);
  const listArea = element("section", { class: "list-area", "aria-label": "Ranked list" });
  const listBelow = element("div", { class: "list-below" });
  const main = element("main", { class: "overview" }, [mapArea, listArea]);
  const caution = element("footer", { class: "caution" }, [element("p", {}, [CAUTION])]);

  const head = mountMasthead(host, desk);
  host.append(main, caution);
  const theme = keepTheme(trial);
  const describe = (words: string): void => {
    summary.textContent = words;
  };
  const above = element("div", { class: "controls" });
  listArea.append(above);
  const strip = mountControlStrip(listArea, desk);
  const below = element("div", { class: "controls" });
  listArea.append(below, listBelow);
  const fund = mountFundParts(above, below, listBelow, desk, () => list.reveal());
  const note = mountViewNote(below, desk);
  const list = mountRankedList(fund.listPanel, desk);
  const legend = together([mountLegend(mapArea, desk), mountLegendFold(mapArea, host)]);
  const keyHelp = mountKeyHelp(caution, keyActions(desk, strip, list, fund.ways));

  // The map comes last: what stands around it says how large it is, and it is drawn once.
  let why: WhyPanel | null = null;
  const leaving = new AbortController();
  const finerRivers = (): Promise<Reaches> => fetchFineRivers(scene.offtakes.viewer, leaving.signal);
  const covered = (): number => why?.coveredPx(canvas) ?? 0;
  const map = mountRiverMap(canvas, scene, chosen, describe, covered, finerRivers);
  const painted = keepPainted(desk, map);
  why = mountWhyPanel(listBelow, desk, map);
  const parts: Dispose[] = [
    theme,
    desk.outcome.dispose,
    desk.losses.dispose,
    head,
    () => {
      main.remove();
      caution.remove();
    },
    () => leaving.abort(),
    map.dispose,
    painted,
    why.dispose,
    legend,
    keepMapInView(desk, canvas),
    strip.dispose,
    fund.dispose,
    note,
    list.dispose,
    keyHelp,
  ];
  let gone = false;
  surroundings.then(
    (around) => {
      if (!gone) parts.push(map.surround(around));
    },
    () => {
      const message = "Land, roads and towns could not be fetched; rivers and offtakes are complete.";
      if (!gone) parts.push(mountPartial(mapArea, message));
    },
  );
  return () => {
    gone = true;
    together(parts)();
  };
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
