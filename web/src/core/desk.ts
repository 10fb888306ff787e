// What the parts of the page share: the catchment, what is tried, and what comes of it.
import type { Chosen } from "./chosen.ts";
import type { LossesShown } from "./losses_shown.ts";
import type { LiveOutcome } from "./outcome.ts";
import type { Scene } from "./scene.ts";
import type { Trial } from "./trial.ts";

export interface Desk {
  readonly scene: Scene;
  readonly chosen: Chosen;
  readonly trial: Trial;
  readonly outcome: LiveOutcome;
  readonly losses: LossesShown;
}
