// What stands at the place, in one sentence.
import { figures } from "./numbers.ts";
import { kindWords } from "./sentences.ts";
import type { FlowText } from "./why_inputs.ts";

export interface Intake {
  readonly kind: string;
  readonly river: string;
  readonly capacityM3s: number | null;
  readonly volumeMl: number | null;
  /** Name of the screen it has; null for none. */
  readonly fitted: string | null;
}

/** "Fixed pump on Heron Creek, 42.0 ML/d at most; draws 1,240 ML a year; no screen today." */
export function intakeSentence(intake: Intake, flow: FlowText): string {
  const { river, capacityM3s, volumeMl, fitted } = intake;
  const place = `${kindWords(intake.kind)}${river ? ` on ${river}` : ""}`;
  const most = capacityM3s === null ? "" : `, ${flow(capacityM3s)} at most`;
  const draws = volumeMl === null ? "" : `; draws ${figures(volumeMl, 3)}\u00a0ML a year`;
  return `${place}${most}${draws}; ${fitted === null ? "no screen today" : `has ${fitted}`}.`;
}
