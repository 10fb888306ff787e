// What the why panel says under its head, block by block; each block can be said anew alone, and what
// was unfolded stays unfolded.
import { guildName } from "../core/guilds.ts";
import type { Scene } from "../core/scene.ts";
import type { TrialState } from "../core/trial.ts";
import { whoseLoss } from "../core/sentences.ts";
import { partsOf } from "../core/why_criteria.ts";
import { whySentence } from "../core/why_words.ts";
import type { Why } from "../wire/why.ts";
import { element } from "./element.ts";
import type { WhyAnswers } from "./why_answers.ts";
import { flowIn, intakeWords } from "./why_head.ts";
import { landholderBlock } from "./why_landholder.ts";
import { lossBlock } from "./why_loss.ts";
import { monthsBlock } from "./why_months.ts";
import { routesBlock } from "./why_routes.ts";
import { scoreBlock } from "./why_score.ts";
import { screensBlock } from "./why_screens.ts";
import { type Correct, sourcesBlock } from "./why_sources.ts";

/** What the panel needs of the outcome: values by row. */
export interface Standing {
  readonly rank: ArrayLike<number>;
  /** Whole billionths. */
  readonly score: ArrayLike<number>;
}

/** Losses of the years and fish in view; millionths by row. */
export interface LossInView {
  readonly lossShare: ArrayLike<number>;
  readonly stale: boolean;
}

export interface Told {
  readonly scene: Scene;
  readonly row: number;
  readonly trial: TrialState;
  readonly standing: Standing;
  readonly view: LossInView | null;
  readonly answers: WhyAnswers;
  /** Whether it is funded and why, where that is said. */
  readonly funded: readonly HTMLElement[];
  /** Option that the set shown gives it; null where it is not funded. */
  readonly fundedId: string | null;
  readonly again: () => void;
  readonly correct: Correct;
}

export const BLOCKS = ["sentence", "score", "loss", "routes", "months", "screens", "landholder", "sources"] as const;
export type Block = (typeof BLOCKS)[number];

/** What has to be said anew after a change of the trial. */
export const OF_WEIGHTS: readonly Block[] = ["sentence", "score"];
export const OF_SET: readonly Block[] = ["screens", "landholder"];
export const OF_UNIT: readonly Block[] = ["sentence", "sources"];
export const OF_VIEW: readonly Block[] = ["loss"];
export const OF_ANSWER: readonly Block[] = ["sentence", "loss", "months", "screens", "landholder", "sources"];

export function sayBlock(block: Block, told: Told): readonly HTMLElement[] {
  const { scene, row, trial, standing, answers } = told;
  const score = standing.score[row] ?? 0;
  if (block === "sentence") return sentence(told);
  if (block === "score") return [scoreBlock(partsOf(scene, row, trial.weights, score), score)];
  if (block === "routes") return [routesBlock(answers.routes, scene.reaches.name)];
  const { why } = answers;
  if (why === "waiting") return block === "landholder" ? [] : [waiting(block)];
  if ("failed" in why) return block === "loss" ? [failure(why.failed, told.again)] : [];
  return ofAnswer(block, told, why);
}

function ofAnswer(block: Block, { scene, row, trial, view, fundedId, correct }: Told, why: Why): readonly HTMLElement[] {
  const { counted, currency, horizon_years: horizonYears } = scene.facts;
  const rate = scene.facts.discount_rate ?? null;
  if (block === "loss") {
    const lossShare = (scene.offtakes.loss_share[row] ?? 0) / 1e6;
    const whose = whoseLoss(trial.year, guildName(scene, trial.guild));
    const inView = view && whose ? { whose, share: (view.lossShare[row] ?? 0) / 1e6, stale: view.stale } : null;
    return [lossBlock({ lossShare, inView, loss: why.loss, counted, year: trial.year, guild: trial.guild })];
  }
  if (block === "months") return [monthsBlock(why.months, why.sentence_facts.overlap)];
  if (block === "screens") return [screensBlock(why.screens, { currency, counted, horizonYears, rate, landholderShare: scene.facts.landholder_share, fundedId })];
  if (block === "sources") return [sourcesBlock(why.inputs, why.rests_on ?? [], currency, flowIn(trial.unit), correct)];
  const side = landholderBlock(why.screens, why.caveat, currency, horizonYears, fundedId);
  return side ? [side] : [];
}

function sentence({ scene, row, trial, standing, answers, funded }: Told): readonly HTMLElement[] {
  const { why } = answers;
  const taken = typeof why === "object" && "sentence_facts" in why ? why.sentence_facts.taken_of_passing : null;
  const lossShare = (scene.offtakes.loss_share[row] ?? 0) / 1e6;
  return [
    element("p", { class: "why-sentence" }, [whySentence(standing.rank[row] ?? 0, scene.offtakes.count, taken, lossShare)]),
    ...funded,
    element("p", { class: "why-intake" }, [intakeWords(scene, row, trial.unit)]),
  ];
}

/** Holds the place of a block that is on its way. */
function waiting(block: Block): HTMLElement {
  return element("div", { class: `why-waiting why-waiting-${block}`, "aria-hidden": "true" });
}

function failure(message: string, again: () => void): HTMLElement {
  const button = element("button", { type: "button", class: "again" }, ["Try again"]);
  button.addEventListener("click", again);
  return element("div", { class: "why-failed", role: "alert" }, [element("p", {}, [message]), button]);
}
