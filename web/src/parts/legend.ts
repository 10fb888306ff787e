// What the map's few signs mean.
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { guildName } from "../core/guilds.ts";
import { CLOSE_IN, CLOSE_OUT, DASH, FILLED, HAND_IN, HAND_OUT, RING } from "../core/marks.ts";
import { decimals, figures } from "../core/numbers.ts";
import { RISK_STEPS, riskRange } from "../core/risk.ts";
import { riverWidthPx } from "../core/rivers.ts";
import type { Scene } from "../core/scene.ts";
import { listed, shortName, whoseLoss } from "../core/sentences.ts";
import { inUnit, type Unit, unitSign } from "../core/units.ts";
import { element } from "./element.ts";
import { signClass } from "./mark_sign.ts";

const SAMPLE_STEP = 2;

export function mountLegend(host: HTMLElement, { scene, outcome, losses, trial }: Desk): Dispose {
  const flows = element("div", { class: "legend-part" });
  const whose = element("p", { class: "legend-whose" });
  const seesBudget = outcome.now.spent !== null;
  const signs = [[FILLED, "inside the budget"], [RING, "outside"], [DASH, "built or not in this round"]] as const;
  const close = markSample([CLOSE_IN, CLOSE_OUT], "close call, inside or outside");
  const byHand = markSample([HAND_IN, HAND_OUT], "chosen by hand");
  const marks = element("ul", { class: "legend-part legend-marks" }, [
    ...signs.map(([mark, words]) => markSample([mark], words)),
    close,
    byHand,
  ]);
  const legend = element("section", { class: "legend", "aria-label": "Legend" }, [
    element("div", { class: "legend-part" }, [
      element("h2", {}, ["Entrainment risk"]),
      riskSteps(),
      element("p", {}, ["a step up is about four times the loss"]),
    ]),
    ...(seesBudget ? [marks] : []),
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
  const sayMarks = (): void => {
    const { now } = outcome;
    byHand.hidden = !now.marks.some((mark) => mark === HAND_IN || mark === HAND_OUT);
    marks.classList.toggle("stale", now.stale && now.best !== null);
  };
  sayFlows();
  sayWhose();
  sayMarks();
  return together([
    outcome.onChange(sayMarks),
    losses.onChange(sayWhose),
    trial.onChange((now, before) => {
      if (now.unit !== before.unit) sayFlows();
    }),
    () => legend.remove(),
  ]);
}

function markSample(marks: readonly number[], words: string): HTMLElement {
  return element("li", {}, [
    ...marks.map((mark) => element("span", { class: signClass(mark, SAMPLE_STEP), "aria-hidden": "true" })),
    words,
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
    sample.style.height = `calc(${riverWidthPx(shown, largest).toFixed(1)}px * var(--river-scale))`;
    return element("li", {}, [sample, element("span", {}, [figures(inUnit(shown, unit), unit === "m3/s" ? 1 : 2)])]);
  });
}
