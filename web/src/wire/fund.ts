// What is asked about spending a budget, and what the service answers. Rows are places in the table of
// offtakes, options places in its list of options; shares are 0..1.

export interface FundAsked {
  readonly budget: number;
  readonly kept_in: Readonly<Record<string, string>>;
  readonly left_out: Readonly<Record<string, string>>;
  readonly district_least: Readonly<Record<string, number>>;
  readonly district_most: Readonly<Record<string, number>>;
  readonly most_installs: number | null;
  /** Codes that are funded all or none. */
  readonly together?: readonly (readonly string[])[];
  /** Rows the list by score funds on the page just now. */
  readonly beside: readonly number[];
}

export interface BestSet {
  readonly budget: number;
  readonly spent: number;
  readonly upkeep_per_year: number | null;
  readonly benefit_adults: number;
  readonly benefit_share: number;
  readonly upper_bound_adults: number;
  readonly gap: number;
  /** False while better ones are still looked for. */
  readonly final: boolean;
  readonly rows: readonly number[];
  readonly options: readonly number[];
  /** To the fund. */
  readonly costs: readonly number[];
  readonly beside: Beside | null;
  readonly price_adults_per_1000: number | null;
  readonly left_out: readonly { readonly row: number; readonly reason: string }[];
  readonly sentence: string;
  /** Null until they are worked out. */
  readonly close_calls: readonly { readonly row: number; readonly because: string }[] | null;
  /** Groups asked for: whether they are in, and what coming to them once saves the fund. */
  readonly together?: readonly { readonly rows: readonly number[]; readonly inside: boolean; readonly saved: number }[];
}

export interface Beside {
  readonly benefit_adults: number;
  readonly benefit_share: number;
  readonly spent: number;
  readonly count: number;
}

export interface Curve {
  readonly budgets: readonly number[];
  readonly best: {
    readonly benefit_share: readonly number[];
    readonly upper_share: readonly number[];
    readonly gap: readonly number[];
    readonly count: readonly number[];
  };
  /** Null at budgets they were not worked out for. */
  readonly others: readonly { readonly name: string; readonly words: string; readonly benefit_share: readonly (number | null)[] }[];
  readonly priority: {
    readonly rows: readonly number[];
    readonly options: readonly number[];
    readonly cost: readonly number[];
    readonly adults_per_1000: readonly number[];
  };
}

export interface HowSure {
  readonly trials: number;
  /** By row, in how many trials of the data it is in the best set. */
  readonly inside: readonly number[];
  readonly weightings: number;
  /** By row, under how many weightings it is funded by score. */
  readonly funded: readonly number[];
  readonly assumed: readonly string[];
  readonly benefit: { readonly low: number; readonly median: number; readonly high: number };
  readonly by_year: readonly { readonly year: number; readonly benefit_share: number }[];
  readonly sensitivity: readonly { readonly input: string; readonly guild: string | null; readonly low_share: number; readonly high_share: number }[];
  /** Best first. */
  readonly measure: readonly { /** Null for a study that serves every offtake. */ readonly row: number | null; readonly input: string; readonly worth_adults: number; readonly assumed: boolean }[];
}

export interface EntryAsked extends FundAsked {
  readonly code: string;
}

export interface Entry {
  readonly row: number;
  readonly inside: boolean;
  readonly cost_now: number | null;
  readonly option: number | null;
  readonly least_budget: number | null;
  readonly highest_cost: number | null;
  readonly sentence: string;
}
