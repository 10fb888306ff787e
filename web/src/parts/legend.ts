// What the map's few signs mean.
import type { Dispose } from "../core/dispose.ts";
import { decimals, figures } from "../core/numbers.ts";
import { RISK_STEPS, riskRange } from "../core/risk.ts";
import { riverWidthPx } from "../core/rivers.ts";
import type { Scene } from "../core/scene.ts";
import { listed } from "../core/sentences.ts";
import { element } from "./element.ts";

export function mountLegend(host: HTMLElement, scene: Scene): Dispose {
  const legend = element("section", { class: "legend", "aria-label": "Legend" }, [
    element("div", { class: "legend-part" }, [
      element("h2", {}, ["Entrainment risk"]),
      riskSteps(),
      element("p", {}, ["a step up is about four times the loss"]),
    ]),
    element("div", { class: "legend-part" }, [
      element("h2", {}, ["Mean flow, m³/s"]),
      element("ul", { class: "legend-rivers" }, riverWidths(scene)),
    ]),
    element("p", { class: "legend-guilds" }, [
      `Loss counts ${listed(scene.facts.guilds.map(shortName))}, as adult equivalents.`,
    ]),
  ]);
  host.append(legend);
  return () => legend.remove();
}

/** Discs between the ends of their steps: 0 o 0.2 o 0.4 ... 1. */
function riskSteps(): HTMLElement {
  const row = element("p", { class: "legend-risk" }, [decimals(0, 0)]);
  for (let step = 0; step < RISK_STEPS; step += 1) {
    const end = riskRange(step)[1];
    row.append(
      element("span", { class: `disc risk-${step + 1}`, "aria-hidden": "true" }),
      decimals(end, end === 1 ? 0 : 1),
    );
  }
  return row;
}

/** A guild's name without what explains it: "Snuffer cod" of "Snuffer cod: guards its nest". */
function shortName(name: string): string {
  return name.split(":")[0]?.trim() ?? name;
}

/** Three flows a factor apart, drawn as wide as the map draws them when all is in view. */
function riverWidths(scene: Scene): HTMLElement[] {
  const largest = Math.max(...scene.reaches.mean_flow_m3s, 0);
  return [largest / 25, largest / 5, largest].map((flow) => {
    const shown = Number(figures(flow, 1).replaceAll(",", ""));
    const sample = element("span", { class: "river-sample", "aria-hidden": "true" });
    sample.style.height = `${riverWidthPx(shown, largest).toFixed(1)}px`;
    return element("li", {}, [sample, element("span", {}, [figures(shown, 1)])]);
  });
}
