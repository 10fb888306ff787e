// What the form of a plan holds, as typed, and what is asked of the planner by it.
import type { PlanAsked } from "../wire/visits.ts";
import type { FundAsked } from "../wire/fund.ts";
import type { Place } from "./visits_kept.ts";

/** Days start in the middle of the map, as it looks when the plan is asked for. */
export const MIDDLE = "(middle)";
export const MOST_DAYS = 7;

export interface VisitForm {
  /** Name of a depot, or `MIDDLE`. */
  depot: string;
  /** Hours of each day as typed. */
  hours: string[];
  service: string;
  leaving: string;
  detour: string;
  speed: string;
  must: string[];
  never: string[];
}

export const FORM_AT_FIRST: VisitForm = { depot: "", hours: ["8", "8", "8"], service: "45", leaving: "08:00", detour: "1.3", speed: "60", must: [], never: [] };

/** The form for so many days; more are as long as the last. */
export function withDays(form: VisitForm, count: number): VisitForm {
  const last = form.hours[form.hours.length - 1] ?? "8";
  return { ...form, hours: Array.from({ length: Math.min(MOST_DAYS, Math.max(1, count)) }, (_, day) => form.hours[day] ?? last) };
}

interface Bound {
  readonly least: number;
  readonly most: number;
  readonly wrong: string;
}

export const BOUNDS = {
  hours: { least: 1, most: 24, wrong: "A day has 1 to 24 hours." },
  service: { least: 0, most: 600, wrong: "0 to 600 minutes." },
  detour: { least: 1, most: 3, wrong: "1 to 3 times the straight line." },
  speed: { least: 5, most: 130, wrong: "5 to 130 km/h." },
} as const satisfies Record<string, Bound>;

/** "" where it is right. */
export function wrongWith(name: keyof typeof BOUNDS, text: string): string {
  const { least, most, wrong } = BOUNDS[name];
  const value = Number(text);
  return text.trim() !== "" && value >= least && value <= most ? "" : wrong;
}

/** `middle` is where the map looks; `fund` the budget and conditions whose set may change. */
export function askedOfForm(form: VisitForm, fund: Partial<FundAsked>, middle: Place): PlanAsked {
  return {
    ...fund,
    depot: form.depot === MIDDLE ? "" : form.depot,
    ...(form.depot === MIDDLE ? { lon: middle.lon, lat: middle.lat } : {}),
    days: form.hours.map((hours) => ({ minutes: Math.round(60 * Number(hours)) })),
    service_minutes: Number(form.service),
    must: form.must,
    never: form.never,
    detour_factor: Number(form.detour),
    speed_kmh: Number(form.speed),
  };
}
