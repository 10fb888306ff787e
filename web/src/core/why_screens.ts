// The screen options of one offtake, compared: which stand in which order, and what is said of each.
import type { Screen } from "../wire/why.ts";
import { decimals, figures, money, percent } from "./numbers.ts";

export interface Compared {
  readonly feasible: readonly Screen[];
  /** Name and obstacles in the words of the service, "" where they may not be seen. */
  readonly ruledOut: readonly (readonly [string, string])[];
}

/** The funded one first, then the best, then by gain for the money where it may be seen, else as they came. */
export function compareScreens(screens: readonly Screen[], fundedId: string | null = null): Compared {
  const feasible = screens.filter((screen) => screen.feasible);
  const place = (screen: Screen): number =>
    screen.option_id === fundedId ? Infinity : screen.is_best ? Number.MAX_VALUE : (gainPerMoney(screen) ?? -1);
  return {
    feasible: [...feasible].sort((a, b) => {
      const [one, other] = [place(a), place(b)];
      return one === other ? 0 : other - one;
    }),
    ruledOut: screens
      .filter((screen) => !screen.feasible)
      .map((screen) => [screen.name, (screen.obstacles ?? []).join("; ")] as const),
  };
}

function gainPerMoney({ gain_share: share, life_cycle: cost, gain_per_1000: adults }: Screen): number | null {
  if (share != null && cost) return share / cost;
  return adults ?? null;
}

export interface About {
  readonly currency: string;
  readonly counted: boolean;
  readonly horizonYears: number;
  /** Rate a year of the catchment, 0..1. */
  readonly rate: number | null;
  /** Of the cost, 0..1; the fund pays the rest. */
  readonly landholderShare: number;
  /** Option that the set shown gives it; null where it is not funded. */
  readonly fundedId: string | null;
}

/** What one screen costs, as far as the viewer may know: "68,000 CDL" or "50,000 to 100,000 CDL". */
export function costText(screen: Screen, currency: string): string | null {
  if (screen.capital != null) return money(screen.capital, currency);
  const band = screen.capital_band;
  return band ? `${money(band[0], "")} to ${money(band[1], currency)}` : null;
}

/** Term and value in order; what the viewer may not see is left out. */
export function screenLines(screen: Screen, about: About): [string, string][] {
  const { currency } = about;
  const lines: [string, string | null][] = [
    ["Effective area", screen.area_m2 == null ? null : `${figures(screen.area_m2, 3)}\u00a0m²`],
    ["Units", screen.units == null ? null : decimals(screen.units, 0)],
    ["Approach velocity", screen.approach_ms == null ? null : `${figures(screen.approach_ms, 2)}\u00a0m/s`],
    ["Velocity in the slots", screen.slot_ms == null ? null : `${figures(screen.slot_ms, 2)}\u00a0m/s`],
    [screen.quoted ? "Cost, as quoted" : "Cost", costText(screen, currency)],
    ["from–to", rangeText(screen, currency)],
    ...whoPays(screen, about),
    ["Upkeep a year", screen.upkeep_per_year == null ? null : money(screen.upkeep_per_year, currency)],
    ...lifeCycle(screen, about),
    ["Gain", gainText(screen, about.counted)],
    [`Gain for ${about.counted ? "1,000" : "100,000"} ${currency || "of money"} over ${decimals(about.horizonYears, 0)} years`, gainForMoney(screen, about.counted)],
  ];
  return lines.filter((line): line is [string, string] => line[1] !== null);
}

/** The cost shared out; nothing where the fund pays all or the cost may not be seen. */
function whoPays({ capital }: Screen, { landholderShare: share, currency }: About): [string, string | null][] {
  if (capital == null || !(share > 0)) return [];
  return [
    ["Fund pays", money(capital * (1 - share), currency)],
    ["Landholder pays", money(capital * share, currency)],
  ];
}

function rangeText({ capital_low: low, capital_high: high, quoted }: Screen, currency: string): string | null {
  if (quoted || low == null || high == null) return null;
  return `${money(low, "")} to ${money(high, currency)}`;
}

/** The cost over the horizon at each rate, the catchment's own among them. */
function lifeCycle(screen: Screen, about: About): [string, string | null][] {
  if (screen.life_cycle == null) return [];
  const own: [number, number][] = about.rate === null ? [] : [[about.rate, screen.life_cycle]];
  const others = (screen.life_cycle_at ?? []).filter(([rate]) => rate !== about.rate);
  const all = [...own, ...others].sort((a, b) => a[0] - b[0]);
  const years = decimals(about.horizonYears, 0);
  if (!all.length) return [[`Cost over ${years} years`, money(screen.life_cycle, about.currency)]];
  return all.map(([rate, cost], i) => [
    `${i === 0 ? `Cost over ${years} years at` : "at"} ${figures(rate * 100, 2)}\u00a0%`,
    money(cost, about.currency),
  ]);
}

/** Heads only where production is counted; else what it avoids of the loss. */
export function gainText({ gain_adults: adults, gain_share: share }: Screen, counted: boolean): string | null {
  if (counted && adults != null) return `${figures(adults, 3)} adults a year`;
  return share == null ? null : `avoids ${percent(share)} of the loss`;
}

function gainForMoney(screen: Screen, counted: boolean): string | null {
  const { gain_adults: adults, gain_share: share, life_cycle: cost } = screen;
  if (!cost) return null;
  if (counted && adults != null) return `${figures((adults * 1e3) / cost, 2)} adults a year`;
  return share == null ? null : `${figures((share * 100 * 1e5) / cost, 2)}\u00a0% of the loss`;
}
