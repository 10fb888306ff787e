// What the page opens on: the catchment as the agency weighs it, a case, or what a link says of either.
import type { Desk } from "../core/desk.ts";
import { standing, stepOf, type Steps, stepsRead, stepsText } from "../core/history.ts";
import type { Link, MapView } from "../core/link.ts";
import type { Scene } from "../core/scene.ts";
import { startOf, type TrialState } from "../core/trial.ts";
import { Undoing } from "../core/undoing.ts";
import { linkAtAddress } from "./address.ts";
import { makeDesk } from "./make_desk.ts";
import type { OpenedCase } from "./opened_case.ts";
import { keptSteps, keyOfSteps } from "./steps_kept.ts";

export interface Opening {
  readonly desk: Desk;
  readonly undoing: Undoing;
  /** What stands without a link. */
  readonly base: TrialState;
  readonly onCase: boolean;
  /** Null where the address says nothing. */
  readonly link: Link | null;
  /** Code of the offtake that opens; "" for none. */
  readonly selected: string;
  readonly map: MapView | null;
  /** What this tab keeps its steps under. */
  readonly stepsKey: string;
}

/** `steps` are those of the page before, where only its data are new. */
export function openOn(scene: Scene, opened: OpenedCase | null, steps: Steps | null): Opening {
  const usual = startOf(scene);
  const base = opened?.trial(usual) ?? usual;
  const onCase = opened !== null;
  const found = linkAtAddress(scene, base, onCase);
  const link = found && steps ? { ...found, dataVersion: scene.facts.data_version } : found;
  const stepsKey = keyOfSteps(scene, opened?.told.id ?? "");
  const like = stepOf(base);
  const before = steps ? stepsRead(stepsText(steps), like) : keptSteps(stepsKey, like);
  const said = link?.trial ?? base;
  // An address that was not written any more before a reload is behind the steps.
  const desk = makeDesk(scene, base, before && isReload() && !said.held ? { ...said, ...standing(before) } : said);
  return {
    desk,
    undoing: new Undoing(desk.trial, before),
    base,
    onCase,
    link,
    selected: link?.selected ?? opened?.told.trial.selected ?? "",
    map: link?.map ?? null,
    stepsKey,
  };
}

function isReload(): boolean {
  const [entry] = performance.getEntriesByType("navigation");
  return (entry as PerformanceNavigationTiming | undefined)?.type === "reload";
}
