// Entrainment risk in five ordered steps. Risk is logarithmic over three decades of loss, so one
// step of a fifth is 10^0.6, about four times the loss of the step before.

export const RISK_STEPS = 5;
const MILLION = 1_000_000;

/** Step 0 (least) to 4 (most) of a risk in millionths. */
export function riskStep(millionths: number): number {
  const step = Math.floor((millionths * RISK_STEPS) / MILLION);
  return Math.min(RISK_STEPS - 1, Math.max(0, step));
}

/** Lower and upper end of a step, 0..1. */
export function riskRange(step: number): readonly [number, number] {
  return [step / RISK_STEPS, (step + 1) / RISK_STEPS];
}

/** A risk to thousandths as list and panel show it: rounded, but never into another step's colour. */
export function riskFigure(millionths: number): number {
  const rounded = Math.round(millionths / 1000);
  const crosses = riskStep(rounded * 1000) !== riskStep(millionths);
  return (crosses ? rounded - 1 : rounded) / 1000;
}
