// The answers of the service, as they travel. Fractions travel as whole numbers: places in 1e-5
// degree, shares and criteria in millionths, the score in billionths.

export interface CatchmentFacts {
  readonly name: string;
  readonly data_version: string;
  readonly model_version: string;
  readonly worked_out_at: string;
  /** Whether a database is served, so that the data may be worked on. */
  readonly working: boolean;
  /** What every answer follows from. */
  readonly edition: string;
  /** Null where the data are read from a file. */
  readonly revision: number | null;
  /** The case these are the data of. */
  readonly case: string | null;
  readonly record_first: string;
  readonly record_last: string;
  readonly years: readonly number[];
  readonly season_start_month: number;
  readonly currency: string;
  readonly counted: boolean;
  readonly horizon_years: number;
  readonly weights: Readonly<Record<string, number>>;
  readonly bounds: readonly [number, number, number, number];
  readonly relief_bounds: readonly [number, number, number, number] | null;
  readonly warnings: number;
  readonly guilds: readonly Guild[];
  readonly offtakes: number;
  readonly criteria: readonly Criterion[];
  /** A sensible budget to start from; null where this viewer may not see costs. */
  readonly budget_hint?: number | null;
  readonly landholder_share: number;
  readonly discount_rate: number;
}

export interface Guild {
  readonly guild_id: string;
  readonly name: string;
  readonly species: string;
}

export interface Criterion {
  readonly name: string;
  readonly label: string;
  readonly unit?: string;
}

/** Numbers of another year or guild; rows as in the offtakes table, shares in millionths. */
export interface Losses {
  readonly year: string;
  readonly guild: string;
  readonly loss_share: readonly number[];
  readonly risk: readonly number[];
  readonly gain_share: readonly number[];
}

export interface CodedLines {
  /** Table row of each line, points in it, places: all but the points as steps from the one before. */
  readonly row: readonly number[];
  readonly points: readonly number[];
  readonly lon: readonly number[];
  readonly lat: readonly number[];
  readonly name: readonly string[];
}

export interface Reaches extends CodedLines {
  readonly reach_id: readonly string[];
  readonly mean_flow_m3s: readonly number[];
}

export interface Land extends CodedLines {
  readonly kind: readonly string[];
}

export interface Roads extends CodedLines {
  readonly class: readonly string[];
}

export interface Places {
  readonly lon: readonly number[];
  readonly lat: readonly number[];
  readonly name: readonly string[];
  readonly size: readonly number[];
}

type Numbers = readonly number[];
type MaybeNumbers = readonly (number | null)[];

/** Columns of every offtake; an absent one may not be seen by this viewer. */
export interface Offtakes {
  readonly viewer: string;
  readonly count: number;
  readonly options: readonly { readonly option_id: string; readonly name: string }[];
  readonly offtake_id: readonly string[];
  readonly label: readonly string[];
  /** First row of the same landholder, -1 where none is named. */
  readonly holder?: Numbers;
  readonly kind: readonly string[];
  readonly fitted: readonly string[];
  readonly district: readonly string[];
  readonly status: readonly (string | null)[];
  readonly basis: readonly string[];
  readonly reach: Numbers;
  readonly lon: Numbers;
  readonly lat: Numbers;
  readonly stands_at: readonly string[];
  readonly rank: Numbers;
  readonly tie_order: Numbers;
  readonly score: Numbers;
  readonly risk: Numbers;
  readonly overlap: Numbers;
  readonly loss_share: Numbers;
  readonly gain_share: Numbers;
  readonly best_option: Numbers;
  readonly cost?: MaybeNumbers;
  readonly capital_band?: readonly (readonly [number, number] | null)[];
  readonly capital?: MaybeNumbers;
  readonly life_cycle_cost?: MaybeNumbers;
  readonly gain_adults?: MaybeNumbers;
  readonly gain_per_1000?: MaybeNumbers;
  readonly volume_ml?: MaybeNumbers;
  readonly capacity_m3s?: MaybeNumbers;
  /** Millionths by criterion, only those this viewer may see. */
  readonly criteria: Readonly<Record<string, MaybeNumbers>>;
  /** 0 not to be funded, 1 eligible, 2 committed. */
  readonly fund_state?: Numbers;
  readonly fund_cost?: MaybeNumbers;
  readonly fund_cost_least?: MaybeNumbers;
  readonly not_funded_because?: readonly (string | null)[];
}
