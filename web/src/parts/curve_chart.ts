// The curve drawn to its place on the page: the best set with its bound, the other orders, and where one
// stands. A click or a key on it sets the budget.
import { budgetScale } from "../core/budget_scale.ts";
import { curveShape, type CurveShape, type Field, valueAt } from "../core/curve_shape.ts";
import type { Desk } from "../core/desk.ts";
import { afterKey, snapped } from "../core/dials.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { decimals, money, percent, shortMoney } from "../core/numbers.ts";
import type { Curve } from "../wire/fund.ts";
import { drawing } from "./drawing.ts";
import { element } from "./element.ts";

export interface CurveChart {
  readonly show: (curve: Curve) => void;
  readonly dispose: Dispose;
}

export function mountCurveChart(host: HTMLElement, { scene, trial, outcome }: Desk): CurveChart {
  const { currency } = scene.facts;
  const scale = budgetScale(scene.offtakes.fund_cost ?? []);
  const stage = element("div", { class: "curve-stage", role: "slider", tabindex: 0, "aria-label": "Budget on the curve", "aria-valuemin": scale.least, "aria-valuemax": scale.most });
  const reading = element("p", { class: "curve-reading" });
  const keys = element("ul", { class: "curve-keys" });
  host.append(stage, reading, keys);
  let curve: Curve | null = null;
  let shape: CurveShape | null = null;

  function draw(): void {
    if (!curve || !stage.clientWidth) return;
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const [width, height] = [stage.clientWidth, Math.round(Math.min(22 * rem, Math.max(14 * rem, 0.46 * stage.clientWidth)))];
    const field: Field = { left: 2.4 * rem, top: 1.5 * rem, width: width - 3.2 * rem, height: height - 4.2 * rem };
    shape = curveShape(curve, field);
    stage.replaceChildren(
      drawing("svg", { class: "curve", viewBox: `0 0 ${width} ${height}`, width, height, "aria-hidden": "true" }, [
        ...axes(shape, field, rem, currency),
        drawing("path", { class: "curve-between", d: shape.between }),
        ...shape.others.map((d, i) => drawing("path", { class: `curve-line curve-other-${i}`, d })),
        drawing("path", { class: "curve-bound", d: shape.bound }),
        drawing("path", { class: "curve-line curve-best", d: shape.best }),
        drawing("g", { class: "curve-here" }),
      ]),
    );
    stand();
  }

  /** Where one stands now, on the curve and in words. */
  function stand(): void {
    const budget = trial.now.budget ?? 0;
    stage.setAttribute("aria-valuenow", String(budget));
    const words = curve ? readOff(curve, budget, currency) : "";
    stage.setAttribute("aria-valuetext", words);
    stage.setAttribute("aria-disabled", String(trial.now.held));
    reading.textContent = words;
    const here = stage.querySelector(".curve-here");
    if (!shape || !here || !curve) return;
    const { now } = outcome;
    const [x, floor] = [shape.xOf(Math.min(budget, curve.budgets.at(-1) ?? budget)), shape.yOf(0)];
    const share = now.way === "best" && now.best && !now.stale ? now.best.benefit_share : (now.best?.beside?.benefit_share ?? null);
    here.replaceChildren(
      drawing("path", { class: "curve-budget", d: `M${x} ${floor}V${shape.yOf(0) - (floor - shape.yOf(shape.shareMarks.at(-1) ?? 0))}` }),
      ...(share === null ? [] : [drawing("circle", { class: "curve-point", cx: x, cy: shape.yOf(share), r: 5 })]),
    );
  }

  function show(next: Curve): void {
    if (next === curve) return;
    curve = next;
    keys.replaceChildren(
      key("curve-best", "best set"),
      key("curve-bound", "no set can do better"),
      ...next.others.map(({ words }, i) => key(`curve-other-${i}`, words)),
    );
    draw();
  }

  function set(budget: number): void {
    trial.change({ budget: snapped(budget, scale) });
  }

  const resized = new ResizeObserver(draw);
  resized.observe(stage);
  const dispose = together([
    outcome.onChange(stand),
    listen(stage, "pointerdown", (event) => {
      if (shape) set(shape.budgetAt(event.clientX - stage.getBoundingClientRect().left));
    }),
    listen(stage, "keydown", (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const next = afterKey(event.key, trial.now.budget ?? 0, scale);
      if (next === null) return;
      event.preventDefault();
      trial.change({ budget: next }, event.repeat);
    }),
    () => resized.disconnect(),
    () => host.replaceChildren(),
  ]);
  return { show, dispose };
}

function readOff({ budgets, best, others }: Curve, budget: number, currency: string): string {
  const share = valueAt(budgets, best.benefit_share, budget);
  const [score] = others;
  const beside = score ? `; ${score.words.charAt(0).toLowerCase()}${score.words.slice(1)}: ${percent(valueAt(budgets, score.benefit_share, budget))}` : "";
  return `For ${money(budget, currency)} the best set avoids about ${percent(share)} of the loss, no set more than ${percent(valueAt(budgets, best.upper_share, budget))}${beside}.`;
}

function axes({ budgetMarks, shareMarks, xOf, yOf }: CurveShape, { left, width, top, height }: Field, rem: number, currency: string): SVGElement[] {
  const bottom = top + height;
  return [
    ...shareMarks.flatMap((share) => [
      drawing("path", { class: "curve-grid", d: `M${left} ${yOf(share)}h${width}` }),
      drawing("text", { class: "curve-axis", x: left - 6, y: yOf(share) + 0.28 * rem, "text-anchor": "end" }, [decimals(share * 100, 0)]),
    ]),
    ...budgetMarks.map((budget) => drawing("text", { class: "curve-axis", x: xOf(budget), y: bottom + 1.15 * rem, "text-anchor": "middle" }, [budget ? shortMoney(budget).replace(".00", "").replace(/(\.\d)0/, "$1") : "0"])),
    drawing("text", { class: "curve-axis", x: 0, y: 0.9 * rem }, ["% of the loss to pumps avoided"]),
    drawing("text", { class: "curve-axis", x: left + width, y: bottom + 2.3 * rem, "text-anchor": "end" }, [`budget${currency ? `, ${currency}` : ""}`]),
  ];
}

function key(name: string, words: string): HTMLElement {
  const line = name === "curve-bound" ? name : `curve-line ${name}`;
  return element("li", {}, [
    drawing("svg", { class: "curve-sample", viewBox: "0 0 34 10", "aria-hidden": "true" }, [drawing("path", { class: line, d: "M0 5h34" })]),
    words,
  ]);
}
