// The line under the why panel's first sentence: funded by score or not, and why.
import type { Desk } from "../core/desk.ts";
import { standingLine } from "../core/standing.ts";
import { element } from "./element.ts";

/** Nothing while the best set is shown: its own block says why. */
export function standingPart({ scene, candidates, outcome, trial }: Desk, row: number): HTMLElement[] {
  const { byScore, way } = outcome.now;
  if (way === "best") return [];
  const told = { offtakes: scene.offtakes, of: candidates, byScore, budget: trial.now.budget, currency: scene.facts.currency };
  return [element("p", { class: "why-standing" }, [standingLine(told, row)])];
}
