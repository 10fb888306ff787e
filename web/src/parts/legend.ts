// What the map's few signs mean.
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { guildName } from "../core/guilds.ts";
import { DASH, FILLED, RING } from "../core/marks.ts";
import { decimals, figures } from "../core/numbers.ts";
import { RISK_STEPS, riskRange } from "../core/risk.ts";
import { riverWidthPx } from "../core/rivers.ts";
import type { Scene } from "../core/scene.ts";
import { listed, shortName, whoseLoss } from "../core/sentences.ts";
import { inUnit, type Unit, unitSign } from "../core/units.ts";
import { element } from "./element.ts";
import { markWords, signClass } from "./mark_sign.ts";

const SAMPLE_STEP = 2;

export function mountLegend(host: HTMLElement, { scene, outcome, losses, trial }: Desk): Dispose {
  const flows = element("div", { class: "legend-part" });
  const whose = element("p", { class: "legend-whose" });
  const seesBudget = outcome.now.spent !== null;
  const legend = element("section", { class: "legend", "aria-label": "Legend" }, [
    element("div", { class: "legend-part" }, [
      element("h2", {}, ["Entrainment risk"]),
      riskSteps(),
      element("p", {}, ["a step up is about four times the loss"]),
    ]),
    ...(seesBudget ? [element("ul", { class: "legend-part legend-marks" }, [FILLED, RING, DASH].map(markSample))] : []),
    flows,
    whose,
  ]);
  host.append(legend);

  const sayFlows = (): void => {
    const { unit } = trial.now;
    flows.replaceChildren(
      element("h2", {}, [`Mean flow, ${unitSign(unit)}`]),
      element("ul", { class: "legend-rivers" }, riverWidths(scene, unit)),
    );
  };
  const sayWhose = (): void => {
    const { year, guild, stale } = losses.now;
    const told = whoseLoss(year, guildName(scene, guild));
    const all = listed(scene.facts.guilds.map(({ name }) => shortName(name)));
    whose.textContent = told ? `Risk ${told}.` : `Loss counts ${all}, as adult equivalents.`;
    whose.classList.toggle("stale", stale);
  };
  sayFlows();
  sayWhose();
  return together([
    losses.onChange(sayWhose),
    trial.onChange((now, before) => {
      if (now.unit !== before.unit) sayFlows();
    }),
    () => legend.remove(),
  ]);
}

function markSample(mark: number): HTMLElement {
  return element("li", {}, [
    element("span", { class: signClass(mark, SAMPLE_STEP), "aria-hidden": "true" }),
    markWords(mark),
  ]);
}

/** Discs between the ends of their steps: 0 o 0.2 o 0.4 ... 1. */
function riskSteps(): HTMLElement {
  const row = element("p", { class: "legend-risk" }, [decimals(0, 0)]);
  for (let step = 0; step < RISK_STEPS; step += 1) {
    const end = riskRange(step)[1];
    row.append(
      element("span", { class: signClass(FILLED, step), "aria-hidden": "true" }),
      decimals(end, end === 1 ? 0 : 1),
    );
  }
  return row;
}

/** Three flows a factor apart, drawn as wide as the map draws them when all is in view. */
function riverWidths(scene: Scene, unit: Unit): HTMLElement[] {
  const largest = Math.max(...scene.reaches.mean_flow_m3s, 0);
  return [largest / 25, largest / 5, largest].map((flow) => {
    const shown = Number(figures(flow, 1).replaceAll(",", ""));
    const sample = element("span", { class: "river-sample", "aria-hidden": "true" });
    sample.style.height = `${riverWidthPx(shown, largest).toFixed(1)}px`;
    return element("li", {}, [sample, element("span", {}, [figures(inUnit(shown, unit), unit === "m3/s" ? 1 : 2)])]);
  });
}
