// Which budgets can be set? From nothing to a little more than all that may be funded costs.
import { roundStep, type Scale } from "./dials.ts";

const STEPS = 300;

export function budgetScale(costs: readonly (number | null)[]): Scale {
  const all = costs.reduce<number>((sum, cost) => sum + (cost ?? 0), 0);
  const step = roundStep(all, STEPS);
  return { least: 0, most: Math.max(step, Math.ceil(all / step) * step), step };
}
