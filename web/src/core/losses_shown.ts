// Whose loss is shown: the mean of the years and every guild, or another view that has to be asked
// for. Until it comes, the numbers of the view before stand, and are marked stale.
import type { Losses, Offtakes } from "../wire/contract.ts";
import { type Dispose, together } from "./dispose.ts";
import { ALL_GUILDS, type Trial, type TrialState, type Year } from "./trial.ts";

export interface LossView {
  readonly year: Year;
  readonly guild: string;
  /** Millionths by row. */
  readonly lossShare: readonly number[];
  readonly risk: readonly number[];
  readonly gainShare: readonly number[];
  /** Another view was chosen and is on its way, or did not come. */
  readonly stale: boolean;
  readonly trouble: string | null;
}

export type FetchLosses = (year: Year, guild: string, signal: AbortSignal) => Promise<Losses>;

export class LossesShown {
  #now: LossView;
  readonly #fetched = new Map<string, Losses>();
  readonly #listeners = new Set<(now: LossView) => void>();
  readonly #trial: Trial;
  readonly #fetch: FetchLosses;
  readonly #usual: LossView;
  #asking: AbortController | null = null;
  readonly dispose: Dispose;

  constructor(offtakes: Offtakes, trial: Trial, fetch: FetchLosses) {
    this.#usual = {
      year: "mean",
      guild: ALL_GUILDS,
      lossShare: offtakes.loss_share,
      risk: offtakes.risk,
      gainShare: offtakes.gain_share,
      stale: false,
      trouble: null,
    };
    this.#now = this.#usual;
    this.#trial = trial;
    this.#fetch = fetch;
    const stop = trial.onChange((now, before) => {
      if (now.year !== before.year || now.guild !== before.guild) this.#show(now);
    });
    this.dispose = together([stop, () => this.#asking?.abort()]);
    if (trial.now.year !== "mean" || trial.now.guild !== ALL_GUILDS) this.#show(trial.now);
  }

  get now(): LossView {
    return this.#now;
  }

  onChange(hear: (now: LossView) => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  /** Asks again after it failed. */
  again(): void {
    if (this.#now.trouble !== null) this.#show(this.#trial.now);
  }

  #show({ year, guild }: TrialState): void {
    this.#asking?.abort();
    if (year === "mean" && guild === ALL_GUILDS) {
      this.#tell(this.#usual);
      return;
    }
    const known = this.#fetched.get(`${year} ${guild}`);
    if (known) {
      this.#tell(viewOf(known, year));
      return;
    }
    this.#tell({ ...this.#now, stale: true, trouble: null });
    const asking = new AbortController();
    this.#asking = asking;
    this.#fetch(year, guild, asking.signal).then(
      (losses) => {
        this.#fetched.set(`${year} ${guild}`, losses);
        if (!asking.signal.aborted) this.#tell(viewOf(losses, year));
      },
      (error: unknown) => {
        if (asking.signal.aborted) return;
        const trouble = error instanceof Error ? error.message : "The service's answer cannot be read.";
        this.#tell({ ...this.#now, trouble });
      },
    );
  }

  #tell(view: LossView): void {
    this.#now = view;
    for (const hear of [...this.#listeners]) hear(view);
  }
}

function viewOf(losses: Losses, year: Year): LossView {
  return {
    year,
    guild: losses.guild,
    lossShare: losses.loss_share,
    risk: losses.risk,
    gainShare: losses.gain_share,
    stale: false,
    trouble: null,
  };
}
