// Weights and budget, a step away from the list: what counts how much, and how much there is.
import { budgetScale } from "../core/budget_scale.ts";
import { type Scale, typedNumber } from "../core/dials.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { decimals } from "../core/numbers.ts";
import { listed } from "../core/sentences.ts";
import { sameDecision } from "../core/trial.ts";
import { WHOLE } from "../core/weights.ts";
import { mountConditionsForm } from "./conditions_form.ts";
import { type Dial, mountDial } from "./dial.ts";
import { element } from "./element.ts";

const WEIGHT: Scale = { least: 0, most: WHOLE, step: WHOLE / 100 };
const PER_CENT = WHOLE / 100;

export function mountWeightsDrawer(host: HTMLElement, desk: Desk): Dispose {
  const { scene, trial } = desk;
  const weights = element("fieldset", { class: "drawer-part" }, [element("legend", { class: "unseen" }, ["What counts how much"])]);
  const money = element("fieldset", { class: "drawer-part drawer-money" }, [element("legend", { class: "unseen" }, ["How much there is"])]);
  const reset = element("button", { type: "button", class: "quiet" }, ["Start again"]);
  const foot = element("p", { class: "drawer-foot" }, [aboutWeights(desk), " ", reset]);
  const fixed = element("p", { class: "drawer-foot" }, ["A case does not move: “Try a change” first."]);
  host.append(weights);
  const names = Object.keys(trial.now.weights);
  const dials = new Map<string, Dial>();
  if (names.length > 1) for (const name of names) dials.set(name, weightDial(weights, desk, name));
  else weights.append(element("p", {}, ["Only one criterion may be seen here, so there is nothing to weigh."]));

  let budget: Dial | null = null;
  if (trial.now.budget !== null) {
    host.append(money);
    budget = budgetDial(money, desk);
  } else {
    host.append(element("p", { class: "drawer-part" }, [
      "Costs are shown in bands here, so there is no budget line, and cost cannot be weighed.",
    ]));
  }
  const conditions = desk.fund ? mountConditionsForm(host, desk) : (): void => undefined;
  host.append(foot, fixed);

  const show = (): void => {
    const { now } = trial;
    for (const [name, dial] of dials) dial.show(now.weights[name] ?? 0);
    if (now.budget !== null) budget?.show(now.budget);
    reset.disabled = now.held || sameDecision(now, trial.start);
    weights.disabled = money.disabled = foot.hidden = now.held;
    fixed.hidden = !now.held;
  };
  const restart = (): void => trial.change({ weights: trial.start.weights, budget: trial.start.budget });
  reset.addEventListener("click", restart);
  show();
  return together([
    trial.onChange(show),
    ...[...dials.values()].map((dial) => dial.dispose),
    () => budget?.dispose(),
    conditions,
    () => host.replaceChildren(),
  ]);

  function weightDial(into: HTMLElement, { scene: { facts } }: Desk, name: string): Dial {
    const label = facts.criteria.find((criterion) => criterion.name === name)?.label ?? name;
    const lower = label.toLowerCase();
    return mountDial(
      into,
      { name: label, less: `Less weight on ${lower}`, more: `More weight on ${lower}`, unit: "%" },
      {
        scale: WEIGHT,
        written: (value) => decimals(value / PER_CENT, value % PER_CENT ? 1 : 0),
        typed: (text) => {
          const typed = typedNumber(text);
          return typed === null ? null : typed * PER_CENT;
        },
        set: (value, going) => trial.weigh(name, value, going),
      },
    );
  }

  function budgetDial(into: HTMLElement, { scene: { facts } }: Desk): Dial {
    const scale = budgetScale(desk.scene.offtakes.fund_cost ?? []);
    return mountDial(
      into,
      { name: "Budget", less: "Smaller budget", more: "Larger budget", unit: scene.facts.currency || "money" },
      {
        scale,
        written: (value) => decimals(value, value % 1 ? 2 : 0),
        typed: (text) => typedNumber(text.replace(facts.currency, "")),
        set: (value, going) => trial.change({ budget: value }, going),
      },
    );
  }
}

function aboutWeights({ scene, trial }: Desk): string {
  const hidden = scene.facts.criteria.filter(({ name }) => !(name in trial.now.weights));
  if (!hidden.length) return "A weight that is moved leaves the others in their proportion.";
  const names = listed(hidden.map(({ label }) => label.toLowerCase()));
  return `The list starts in the agency's order. Once a weight is moved, ${names} no longer counts.`;
}
