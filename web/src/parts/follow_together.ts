// Where one landholder has several pumps that could be funded: all of them or none, and coming there is
// paid for once.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { isTogether, ownedGroups, withGroup } from "../core/follow_groups.ts";
import { money } from "../core/numbers.ts";
import { listed } from "../core/sentences.ts";
import { element } from "./element.ts";

export function mountTogether(host: HTMLElement, { scene, trial, outcome }: Desk): Dispose {
  const groups = ownedGroups(scene);
  if (!groups.length) return () => undefined;
  const boxes = groups.map((codes) => {
    const box = element("input", { type: "checkbox" });
    const told = element("span", { class: "why-note" });
    const label = element("label", { class: "help-single" }, [box, listed(codes), told]);
    return { box, told, label, codes };
  });
  const part = element("fieldset", { class: "drawer-part together" }, [
    element("legend", {}, ["All or none, for the pumps of one landholder"]),
    ...boxes.map(({ label }) => label),
    element("p", { class: "drawer-foot" }, ["Pumps taken together pay for coming there once."]),
  ]);
  host.append(part);

  function show(): void {
    const { now } = trial;
    for (const { box, told, codes } of boxes) {
      box.checked = isTogether(now.together, codes);
      told.textContent = box.checked ? standing(codes) : "";
    }
    part.disabled = now.held;
  }

  /** In the set or out of it, once that is known. */
  function standing(codes: readonly string[]): string {
    const { best, stale } = outcome.now;
    const group = stale ? undefined : best?.together?.find(({ rows }) => rows.every((row) => codes.includes(scene.offtakes.offtake_id[row] ?? "")));
    if (!group) return "";
    return group.inside ? `in the set, saves ${money(group.saved, scene.facts.currency)}` : "out of the set";
  }

  show();
  return together([
    trial.onChange(show),
    outcome.onChange(show),
    ...boxes.map(({ box, codes }) => listen(box, "change", () => trial.change({ together: withGroup(trial.now.together, codes, box.checked) }))),
    () => part.remove(),
  ]);
}
