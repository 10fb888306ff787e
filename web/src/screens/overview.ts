// The first screen: the ranked list beside the map, always agreeing.
import { Chosen } from "../core/chosen.ts";
import { type Dispose, together } from "../core/dispose.ts";
import type { Scene } from "../core/scene.ts";
import { element } from "../parts/element.ts";
import { mountLegend } from "../parts/legend.ts";
import { mountMasthead } from "../parts/masthead.ts";
import { mountPartial } from "../parts/notice.ts";
import { mountRankedList } from "../parts/ranked_list.ts";
import { mountSiteCard } from "../parts/site_card.ts";
import { mountRiverMap } from "../surface/river_map.ts";
import type { Surroundings } from "../wire/catchment.ts";

const CAUTION =
  "It ranks and budgets; it does not design. A built screen is designed by a qualified engineer to " +
  "the criteria and permits of the place. Numbers are planning estimates from the data shown above.";

export function mountOverview(
  host: HTMLElement,
  scene: Scene,
  surroundings: Promise<Surroundings>,
): Dispose {
  const chosen = new Chosen();
  const summary = element("p", { id: "map-summary", class: "unseen", "aria-live": "polite" });
  const canvas = element("div", { class: "map", role: "group", "aria-label": "Map of the catchment", "aria-describedby": "map-summary" });
  const mapArea = element("section", { class: "map-area", "aria-label": "Map" }, [summary, canvas]);
  const listArea = element("section", { class: "list-area", "aria-label": "Ranked list" });
  const main = element("main", { class: "overview" }, [mapArea, listArea]);
  const caution = element("footer", { class: "caution" }, [element("p", {}, [CAUTION])]);

  const head = mountMasthead(host, scene);
  host.append(main, caution);
  const card = mountSiteCard(main, scene, chosen);
  const describe = (words: string): void => {
    summary.textContent = words;
  };
  const map = mountRiverMap(canvas, scene, chosen, describe, () => card.coveredPx(canvas));
  const parts: Dispose[] = [
    head,
    card.dispose,
    () => {
      main.remove();
      caution.remove();
    },
    map.dispose,
    mountLegend(mapArea, scene),
    mountRankedList(listArea, scene, chosen),
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
