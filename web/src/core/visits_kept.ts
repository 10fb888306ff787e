// A run of field days as the page has it: what was asked, the plan that came, the order it has been moved to
// since. It outlives the drawer, and a new edition of the data.
import type { DayTold, OrderAsked, PlanAsked, PlanTold, Run, Stop } from "../wire/visits.ts";
import type { Dispose } from "./dispose.ts";
import type { LongWork } from "./long_work.ts";
import { type Days, sameDays } from "./visit_order.ts";

export interface Place {
  readonly lon: number;
  readonly lat: number;
}

/** A plan on the page. */
export interface Planned {
  readonly asked: PlanAsked;
  readonly told: PlanTold;
  /** Where days start; null where nobody said. */
  readonly start: Place | null;
  readonly dataVersion: string;
  /** The order that came. */
  readonly first: Days;
  readonly order: Days;
  /** The saved run it is; null for one that is not saved. */
  readonly run: Run | null;
}

/** What is asked about, beside what is asked. */
interface Setting {
  readonly start: Place | null;
  readonly dataVersion: string;
}

export class VisitsKept {
  #now: Planned | null = null;
  #setting: Setting = { start: null, dataVersion: "" };
  #asked: PlanAsked | null = null;
  /** Times and ways by code, of the last answer that had it. */
  readonly #stops = new Map<string, Stop>();
  readonly #listeners = new Set<() => void>();

  constructor(
    readonly planning: LongWork<PlanAsked, PlanTold>,
    readonly ordering: LongWork<OrderAsked, PlanTold>,
  ) {
    planning.onChange(({ answer }) => {
      if (answer && this.#asked) this.#take(this.#asked, answer, null);
      this.#tell();
    });
    ordering.onChange(({ answer }) => {
      if (answer && this.#now) this.#reorder(answer);
      this.#tell();
    });
  }

  get now(): Planned | null {
    return this.#now;
  }

  /** Times are those of another order: the new ones are on their way, or did not come. */
  get stale(): boolean {
    return this.#now !== null && !sameDays(this.#now.order, codesOf(this.#now.told.days));
  }

  /** Moved by hand since it came. */
  get isMoved(): boolean {
    return this.#now !== null && !sameDays(this.#now.order, this.#now.first);
  }

  stop(code: string): Stop | undefined {
    return this.#stops.get(code);
  }

  onChange(hear: () => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  plan(asked: PlanAsked, setting: Setting): void {
    this.ordering.drop();
    [this.#asked, this.#setting] = [asked, setting];
    this.planning.ask(asked);
  }

  /** Another order; its times are worked out anew by the service. */
  move(order: Days): void {
    if (!this.#now || sameDays(order, this.#now.order)) return;
    this.#now = { ...this.#now, order };
    if (this.stale) this.retime();
    else this.ordering.drop();
    this.#tell();
  }

  retime(): void {
    if (!this.#now) return;
    const { asked, order } = this.#now;
    this.ordering.ask({ ...asked, order });
  }

  /** A saved run in place of what was planned; null where it keeps too little to be moved. */
  open(run: Run): void {
    const { asked, start = null } = run.plan;
    if (!asked) return;
    this.planning.drop();
    this.ordering.drop();
    this.#setting = { start, dataVersion: run.data_version };
    this.#take(asked, { days: run.days, buys: [], next: null, skipped: [], changes: null, cannot_change: null, gap: null, used_roads: run.plan.used_roads ?? false }, run);
    this.#tell();
  }

  /** It is saved as this run now. */
  saved(run: Run): void {
    if (!this.#now) return;
    this.#now = { ...this.#now, run, first: this.#now.order };
    this.#tell();
  }

  /** A run was deleted. */
  gone(id: string): void {
    if (this.#now?.run?.id !== id) return;
    this.#now = { ...this.#now, run: null };
    this.#tell();
  }

  #take(asked: PlanAsked, told: PlanTold, run: Run | null): void {
    const order = codesOf(told.days);
    const same = this.#now?.asked === asked;
    // What came later of the same plan does not undo what was moved meanwhile.
    if (same && this.#now && !sameDays(codesOf(this.#now.told.days), order)) {
      this.#now = { ...this.#now, told: { ...told, days: this.#now.told.days, next: this.#now.told.next, skipped: this.#now.told.skipped } };
      return;
    }
    this.#keep(told.days);
    if (same && this.#now) this.#now = { ...this.#now, told };
    else this.#now = { asked, told, ...this.#setting, first: order, order, run };
  }

  #reorder(answer: PlanTold): void {
    if (!this.#now) return;
    this.#keep(answer.days);
    const { told } = this.#now;
    this.#now = { ...this.#now, told: { ...told, days: answer.days, next: answer.next, skipped: answer.skipped } };
  }

  #keep(days: readonly DayTold[]): void {
    for (const { stops } of days) for (const stop of stops) this.#stops.set(stop.code, stop);
  }

  #tell(): void {
    for (const hear of [...this.#listeners]) hear();
  }
}

export function codesOf(days: readonly DayTold[]): Days {
  return days.map(({ stops }) => stops.map(({ code }) => code));
}
