// Lays out the desk for a catchment: what is tried at first, and who works out what comes of it.
import { curveKey, setKey } from "../core/asked.ts";
import { BestFunding } from "../core/best_funding.ts";
import { makeCandidates } from "../core/candidates.ts";
import { Chosen } from "../core/chosen.ts";
import { Demand } from "../core/demand.ts";
import type { Desk, FundDesk } from "../core/desk.ts";
import { LongWork } from "../core/long_work.ts";
import { LossesShown } from "../core/losses_shown.ts";
import { LiveOutcome } from "../core/outcome.ts";
import type { Scene } from "../core/scene.ts";
import { startOf, Trial, type TrialState } from "../core/trial.ts";
import { entryKey } from "../core/why_fund.ts";
import { fetchLosses } from "../wire/losses.ts";
import { workAt } from "../wire/work.ts";

/** `start` is where starting again leads to, `now` what is tried at first. */
export function makeDesk(scene: Scene, start: TrialState, now: TrialState): Desk {
  const { facts, offtakes } = scene;
  const trial = new Trial(start, now);
  const candidates = makeCandidates(facts, offtakes, startOf(scene).weights);
  const fund = offtakes.viewer === "lead" && trial.now.budget !== null ? fundDesk() : null;
  return {
    scene,
    chosen: new Chosen(),
    trial,
    candidates,
    outcome: new LiveOutcome(candidates, trial, fund?.best ?? null, offtakes.offtake_id),
    losses: new LossesShown(offtakes, trial, (year, guild, signal) =>
      fetchLosses(year, guild, offtakes.viewer, signal),
    ),
    fund,
  };
}

function fundDesk(): FundDesk {
  return {
    best: new BestFunding(new LongWork(workAt("/api/best-set"))),
    curve: new Demand(new LongWork(workAt("/api/curve")), curveKey),
    howSure: new Demand(new LongWork(workAt("/api/how-sure")), setKey),
    entry: new Demand(new LongWork(workAt("/api/entry")), entryKey),
  };
}
