// Asks why one offtake stands where it stands. A key that is absent may not be seen by this viewer;
// null says there is none.
import { ask } from "./ask.ts";
import { ofDataInView } from "./case_in_view.ts";

export interface SentenceFacts {
  /** Share of the drifters passing in season that it takes, by worth. */
  readonly taken_of_passing: number | null;
  readonly loss_share: number;
  readonly overlap: number;
}

export interface Part {
  readonly criterion: string;
  readonly label: string;
  readonly value?: number | null;
  readonly weight_thousandths: number;
  readonly points?: number | null;
}

export interface GuildLoss {
  readonly guild_id: string;
  readonly name: string;
  readonly loss_share: number;
  readonly loss_adults?: number | null;
  /** Only where production is counted. */
  readonly taken_heads?: number | null;
}

export interface Loss {
  readonly by_guild: readonly GuildLoss[];
  readonly adults?: number | null;
  readonly adults_dry?: number | null;
  readonly adults_median?: number | null;
  readonly adults_wet?: number | null;
  readonly low?: number | null;
  readonly high?: number | null;
  readonly assumed_range?: boolean;
  readonly residents_share?: number | null;
}

/** One month: the shares over a season sum to 1, the overlaps to the season's overlap. */
export interface Month {
  readonly month: number;
  readonly passing_share: number;
  readonly draw_share?: number;
  readonly overlap?: number;
}

export interface Landholder {
  readonly pays_once: number;
  readonly upkeep_per_year: number;
  readonly saving_per_year: number | null;
  readonly saving_per_year_low: number | null;
  readonly payback_years: number | null;
  readonly net_present_value: number | null;
  readonly missing: readonly string[];
}

export interface Screen {
  readonly option_id: string;
  readonly name: string;
  readonly feasible: boolean;
  readonly obstacles?: readonly string[];
  readonly is_best: boolean;
  readonly depth_unknown: boolean;
  readonly area_m2?: number | null;
  readonly units?: number | null;
  readonly approach_ms?: number | null;
  readonly slot_ms?: number | null;
  readonly capital?: number | null;
  readonly capital_low?: number | null;
  readonly capital_high?: number | null;
  readonly capital_band?: readonly [number, number] | null;
  readonly upkeep_per_year?: number | null;
  readonly life_cycle?: number | null;
  readonly life_cycle_at?: readonly (readonly [number, number])[] | null;
  readonly gain_adults?: number | null;
  readonly gain_share?: number | null;
  readonly gain_per_1000?: number | null;
  readonly quoted?: boolean;
  readonly landholder?: Landholder | null;
}

export interface Input {
  readonly column: string;
  readonly meaning: string;
  readonly unit: string;
  readonly value: string | number | null;
  readonly basis: string | null;
  readonly source: string | null;
  /** Who entered it, where an edit says how it came about; "" where the row does. */
  readonly by?: string;
  readonly observed_on: string | null;
  readonly default_used: boolean;
  readonly visibility: string;
}

/** A row of another table that the numbers rest on, with its filled cells. */
export interface RestsOn {
  readonly table: string;
  readonly key: string;
  readonly name: string;
  readonly source: string;
  readonly inputs: readonly Pick<Input, "column" | "meaning" | "unit" | "value" | "default_used">[];
}

export interface Why {
  readonly offtake_id: string;
  readonly rank: number;
  readonly of: number;
  readonly sentence_facts: SentenceFacts;
  readonly parts: readonly Part[];
  readonly loss: Loss;
  readonly months: readonly Month[];
  readonly screens: readonly Screen[];
  readonly caveat?: string | null;
  readonly inputs: readonly Input[];
  readonly rests_on: readonly RestsOn[];
}

/** Millionths a reach row of what it takes and of what is lost by it. */
export interface Routes {
  readonly from_reach: readonly number[];
  readonly to_reach: readonly number[];
  readonly to_outlet: number;
}

export function fetchWhy(offtakeId: string, as: string, signal: AbortSignal): Promise<Why> {
  return ask<Why>(addressOf(offtakeId, "why", as), signal);
}

export function fetchRoutes(offtakeId: string, as: string, signal: AbortSignal): Promise<Routes> {
  return ask<Routes>(addressOf(offtakeId, "routes", as), signal);
}

function addressOf(offtakeId: string, what: string, as: string): string {
  const seenAs = as ? `?as=${encodeURIComponent(as)}` : "";
  return ofDataInView(`/api/offtakes/${encodeURIComponent(offtakeId)}/${what}${seenAs}`);
}
