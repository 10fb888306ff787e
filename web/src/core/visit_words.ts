// The words of field days: times, lengths, what each day shows, what to measure.
import type { DayTold, PlanTold } from "../wire/visits.ts";
import type { VisitForm } from "./visit_form.ts";
import { atLeastPercent, decimals } from "./numbers.ts";

const SPACE = "\u00a0";
const DAY_MIN = 24 * 60;
const MEASURED: Readonly<Record<string, string>> = {
  draw: "what it can draw",
  position: "where in the river it draws",
  depth_m: "depth",
  night_use_share: "hours it runs by night",
};

/** "45 min", "2 h 05". */
export function lasting(minutes: number): string {
  const whole = Math.round(minutes);
  if (whole < 60) return `${whole}${SPACE}min`;
  return `${Math.floor(whole / 60)}${SPACE}h${SPACE}${String(whole % 60).padStart(2, "0")}`;
}

/** The time of day so long after leaving: "9:05". */
export function clock(leaving: string, minutes: number): string {
  const [hour = 8, minute = 0] = leaving.split(":").map(Number);
  const at = Math.round(60 * hour + minute + minutes) % DAY_MIN;
  return `${Math.floor(at / 60)}:${String(at % 60).padStart(2, "0")}`;
}

export function kilometres(km: number): string {
  return `${decimals(km, km < 10 ? 1 : 0)}${SPACE}km`;
}

export function measureWord(input: string): string {
  return MEASURED[input] ?? input.replaceAll("_", " ");
}

export function stopCount(count: number): string {
  return count === 1 ? "1 stop" : `${count} stops`;
}

function dayCount(count: number): string {
  return count === 1 ? "1 day" : `${count} days`;
}

/** "What to plan: 3 days, 45 minutes at each site" */
export function asksWords({ hours, service, must, never }: VisitForm): string {
  const told = [dayCount(hours.length), `${service || "?"} minutes at each site`, ...(must.length ? [`${must.length} in any case`] : []), ...(never.length ? [`${never.length} left out`] : [])];
  return `What to plan: ${told.join(", ")}`;
}

/** "3 days, 14 stops, 412 km." */
export function runGlance(days: readonly DayTold[]): string {
  const stops = days.reduce((sum, day) => sum + day.stops.length, 0);
  if (!stops) return "No stop: no site that could change the set can be seen in these days.";
  const km = days.reduce((sum, day) => sum + day.drive_km, 0);
  return `${dayCount(days.length)}, ${stopCount(stops)}, ${kilometres(km)}.`;
}

/** "3 days, 14 stops" of a saved run. */
export function runCounts(codes: readonly (readonly string[])[]): string {
  return `${dayCount(codes.length)}, ${stopCount(codes.flat().length)}`;
}

/** "5 stops, 132 km, 7 h 40 of 8 h 00". */
export function dayGlance(day: DayTold, lengthMin: number): string {
  if (!day.stops.length) return "no stop";
  const over = day.over_min ?? Math.max(0, day.minutes - lengthMin);
  const fits = over >= 0.5 ? `; ${lasting(over)} too long` : "";
  return `${stopCount(day.stops.length)}, ${kilometres(day.drive_km)}, ${lasting(day.minutes)} of ${lasting(lengthMin)}${fits}`;
}

/** How near to the best there is; it comes after the plan itself. */
export function gapWords(gap: number | null, looking: boolean): string {
  if (gap === null) return looking ? "How near it is to the best is still being worked out." : "How near it is to the best was not worked out.";
  if (gap < 0.0005) return "No other plan shows more.";
  return `It shows at least ${atLeastPercent(1 - gap)} of what the best plan could.`;
}

/** What 1, 2 ... days show of what all of them show, and what each adds. */
export function dayShares(buys: PlanTold["buys"]): { readonly share: number | null; readonly adds: number | null }[] {
  const all = buys[buys.length - 1] ?? 0;
  return buys.map((each, i) => {
    if (each === null || !all) return { share: null, adds: null };
    return { share: each / all, adds: (each - (buys[i - 1] ?? 0)) / all };
  });
}

/** "3", or "2·3" where there are several days. */
export function stopLabel(day: number, at: number, days: number): string {
  return days > 1 ? `${day + 1}·${at + 1}` : String(at + 1);
}

/** How the ways between stops were reckoned. */
export function waysWords(usedRoads: boolean, detourFactor: number, speedKmh: number): string {
  if (usedRoads) return "Driving is along the roads known here.";
  return `Where no road is known, driving is ${decimals(detourFactor, 1)} times the straight line at ${decimals(speedKmh, 0)}${SPACE}km/h: common practice, no source.`;
}
