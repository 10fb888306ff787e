// The head of the why panel: which offtake, the one plain sentence, and what stands there.
import { figures } from "../core/numbers.ts";
import type { Scene } from "../core/scene.ts";
import { inUnit, type Unit, unitSign } from "../core/units.ts";
import type { FlowText } from "../core/why_inputs.ts";
import { intakeSentence } from "../core/why_intake.ts";
import { riverOf } from "../core/why_words.ts";
import { element } from "./element.ts";

export const TITLE_ID = "why-title";

/** Takes the focus when the panel is opened by a key. */
export function whyTitle(): HTMLHeadingElement {
  return element("h2", { id: TITLE_ID, tabindex: -1 });
}

export function titleWords({ offtakes }: Scene, row: number): Node[] {
  const label = offtakes.label[row];
  const code = element("span", { class: "why-code" }, [offtakes.offtake_id[row] ?? ""]);
  return label ? [code, element("span", { class: "why-label" }, [label])] : [code];
}

export function flowIn(unit: Unit): FlowText {
  return (m3s) => `${figures(inUnit(m3s, unit), 3)}\u00a0${unitSign(unit)}`;
}

export function intakeWords({ offtakes, reaches }: Scene, row: number, unit: Unit): string {
  const fitted = offtakes.fitted[row] ?? "none";
  const name = offtakes.options.find((option) => option.option_id === fitted)?.name ?? fitted;
  const intake = {
    kind: offtakes.kind[row] ?? "",
    river: riverOf(reaches.name[offtakes.reach[row] ?? -1] ?? ""),
    capacityM3s: offtakes.capacity_m3s?.[row] ?? null,
    volumeMl: offtakes.volume_ml?.[row] ?? null,
    fitted: fitted === "none" || fitted === "" ? null : name,
  };
  return intakeSentence(intake, flowIn(unit));
}
