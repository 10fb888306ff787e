// Field days: what is asked of the planner and what it answers, and the runs that are saved. Shares of worth
// are millionths of the site that is worth most; times are minutes from leaving the depot.
import { ask } from "./ask.ts";
import type { FundAsked } from "./fund.ts";
import { workAt, type WorkCalls } from "./work.ts";

export interface Depot {
  readonly name: string;
  readonly lon: number;
  readonly lat: number;
}

export interface PlanAsked extends Partial<FundAsked> {
  /** By name; days start at `lon`, `lat` where these are given. */
  readonly depot: string;
  readonly lon?: number;
  readonly lat?: number;
  readonly days: readonly { readonly minutes: number }[];
  readonly service_minutes: number;
  readonly must: readonly string[];
  readonly never: readonly string[];
  readonly detour_factor: number;
  readonly speed_kmh: number;
}

export interface Stop {
  readonly code: string;
  readonly arrive_min: number;
  readonly leave_min: number;
  /** From the stop before. */
  readonly drive_min: number;
  readonly drive_km: number;
  readonly worth_share: number;
  readonly measure: readonly { readonly input: string; readonly words: string }[];
  readonly must?: boolean;
  /** Nobody has said yes yet: ring before one goes. */
  readonly contact_first?: boolean;
}

export interface DayTold {
  readonly stops: readonly Stop[];
  readonly back_min?: number;
  readonly back_km?: number;
  readonly drive_km: number;
  readonly minutes: number;
  /** Longer than the day by so much. */
  readonly over_min?: number;
  readonly worth_share: number;
}

export interface CodeWords {
  readonly code: string;
  readonly words: string;
}

export interface PlanTold {
  readonly days: readonly DayTold[];
  /** Worth of the best 1, 2 ... days; null where so few do not hold what must be seen. */
  readonly buys: readonly (number | null)[];
  readonly next: { readonly code: string; readonly day?: number; readonly extra_min: number; readonly takes_min?: number; readonly worth_share: number } | null;
  readonly skipped: readonly { readonly code: string; readonly could_change?: boolean; readonly why: string }[];
  /** Null until they are worked out. */
  readonly changes: readonly CodeWords[] | null;
  readonly cannot_change: readonly CodeWords[] | null;
  readonly gap: number | null;
  readonly used_roads: boolean;
}

/** The same, its stops in an order made by hand: codes of each day. */
export interface OrderAsked extends PlanAsked {
  readonly order: readonly (readonly string[])[];
}

interface Saved {
  readonly id: string;
  readonly name: string;
  /** Date of the first day. */
  readonly on: string;
  readonly officer: string;
  readonly data_version: string;
  readonly made_at: string;
  /** "" while it stands in the order it was saved in. */
  readonly ordered_at: string;
  readonly by: string;
}

export interface RunHead extends Saved {
  /** Of each day's stops. */
  readonly codes: readonly (readonly string[])[];
}

export interface Run extends Saved {
  readonly days: readonly DayTold[];
  readonly plan: RunPlan;
}

/** What a run keeps of its planning, so that its order can be moved later. */
export interface RunPlan {
  readonly asked?: PlanAsked;
  readonly start?: { readonly lon: number; readonly lat: number } | null;
  readonly used_roads?: boolean;
  /** Time of day at which days start: "08:00". */
  readonly leaving?: string;
}

export interface RunAsked {
  readonly id: string;
  readonly name: string;
  readonly on: string;
  readonly officer: string;
  readonly days: readonly DayTold[];
  readonly plan: RunPlan;
  readonly by?: string;
}

const RUNS = "/api/runs";

export const planning = (): WorkCalls<PlanAsked, PlanTold> => workAt("/api/visits/plan");
export const ordering = (): WorkCalls<OrderAsked, PlanTold> => workAt("/api/visits/order");

export function fetchDepots(): Promise<{ readonly depots: readonly Depot[]; readonly roads: boolean }> {
  return ask("/api/visits/depots");
}

export function fetchRuns(): Promise<{ readonly runs: readonly RunHead[] }> {
  return ask(RUNS);
}

export function fetchRun(id: string): Promise<Run> {
  return ask(`${RUNS}/${encodeURIComponent(id)}`);
}

export function saveRun(body: RunAsked): Promise<Run> {
  return ask(RUNS, undefined, { method: "POST", body });
}

export function saveOrder(id: string, body: { readonly days: readonly DayTold[]; readonly plan: RunPlan }): Promise<Run> {
  return ask(`${RUNS}/${encodeURIComponent(id)}/order`, undefined, { method: "POST", body });
}

export function deleteRun(id: string): Promise<unknown> {
  return ask(`${RUNS}/${encodeURIComponent(id)}`, undefined, { method: "DELETE" });
}

/** Where a run can be read on paper, taken along, and opened on a phone. */
export function papersOfRun(id: string): { readonly sheet: string; readonly gpx: string; readonly phone: string } {
  const at = encodeURIComponent(id);
  return { sheet: `/print/run/${at}`, gpx: `/files/run/${at}.gpx`, phone: `/field#run=${at}` };
}
