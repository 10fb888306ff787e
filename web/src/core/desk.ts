// What the parts of the page share: the catchment, what is tried, and what comes of it.
import type { Curve, Entry, EntryAsked, FundAsked, HowSure } from "../wire/fund.ts";
import type { BestFunding } from "./best_funding.ts";
import type { Candidates } from "./candidates.ts";
import type { Chosen } from "./chosen.ts";
import type { Demand } from "./demand.ts";
import type { LossesShown } from "./losses_shown.ts";
import type { LiveOutcome } from "./outcome.ts";
import type { Scene } from "./scene.ts";
import type { Trial } from "./trial.ts";

export interface Desk {
  readonly scene: Scene;
  readonly chosen: Chosen;
  readonly trial: Trial;
  readonly candidates: Candidates;
  readonly outcome: LiveOutcome;
  readonly losses: LossesShown;
  /** Null for whoever may not ask for it. */
  readonly fund: FundDesk | null;
}

/** What only the lead may ask the service to work out. */
export interface FundDesk {
  readonly best: BestFunding;
  readonly curve: Demand<FundAsked, Curve>;
  readonly howSure: Demand<FundAsked, HowSure>;
  readonly entry: Demand<EntryAsked, Entry>;
}
