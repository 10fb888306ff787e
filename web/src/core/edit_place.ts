// A place moved by metres, how far two places lie apart, and when one is too far from the river.
import type { PlaceTold } from "../wire/edits.ts";
import { figures } from "./numbers.ts";

export interface LonLat {
  readonly lon: number;
  readonly lat: number;
}

const EARTH_RADIUS_M = 6_371_008.8;
const RADIAN = Math.PI / 180;
const PLACES = 1e6;

/** A place so many metres east and north of another, to a millionth of a degree. */
export function stepped({ lon, lat }: LonLat, eastM: number, northM: number): LonLat {
  const north = northM / EARTH_RADIUS_M / RADIAN;
  const east = eastM / (EARTH_RADIUS_M * Math.cos(lat * RADIAN)) / RADIAN;
  return tidyPlace({ lon: lon + east, lat: lat + north });
}

export function tidyPlace({ lon, lat }: LonLat): LonLat {
  return { lon: Math.round(lon * PLACES) / PLACES, lat: Math.round(lat * PLACES) / PLACES };
}

/** Great-circle distance. */
export function apartM(one: LonLat, other: LonLat): number {
  const [north, east] = [(other.lat - one.lat) * RADIAN, (other.lon - one.lon) * RADIAN];
  const half = Math.sin(north / 2) ** 2 + Math.cos(one.lat * RADIAN) * Math.cos(other.lat * RADIAN) * Math.sin(east / 2) ** 2;
  return 2 * EARTH_RADIUS_M * Math.asin(Math.min(1, Math.sqrt(half)));
}

/** What was typed as degrees, within what can be; null where it is none. */
export function typedDegrees(text: string, most: number): number | null {
  const value = Number(text.trim().replace(/\u2212/g, "-").replace(/°$/, ""));
  return text.trim() === "" || !Number.isFinite(value) || Math.abs(value) > most ? null : value;
}

/** "Too far: here it would lie 412 m from the nearest reach (Heron Creek, r12), ...". */
export function farWords({ reach_id: id, reach_name: name, distance_m: distance, limit_m: limit }: Pick<PlaceTold, "reach_id" | "reach_name" | "distance_m" | "limit_m">): string {
  const reach = name ? `${name}, ${id}` : `reach ${id}`;
  return `Too far: here it would lie ${metres(distance)} from the nearest reach (${reach}), and at most ${metres(limit)} counts as standing on the river (a setting, snap_limit_m). Move it nearer.`;
}

/** "23 m", "1,240 m". */
export function metres(value: number): string {
  return `${value < 10 ? figures(value, 2) : Math.round(value).toLocaleString("en-GB")}\u00a0m`;
}
