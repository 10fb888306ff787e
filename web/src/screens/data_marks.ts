// Marks on the map what findings are about: offtakes are ringed, reaches lit.
import type { Desk } from "../core/desk.ts";
import type { Dispose } from "../core/dispose.ts";
import type { LonLat } from "../core/edit_place.ts";
import { degrees } from "../core/mercator.ts";
import { findingPlaces } from "../core/upload_words.ts";
import { mountFlags } from "../surface/move.ts";
import type { RiverMap } from "../surface/river_map.ts";
import type { Finding } from "../wire/findings.ts";

export interface Marks {
  /** In place of those before; says in words what is marked. */
  readonly mark: (findings: readonly Finding[]) => string;
  readonly dispose: Dispose;
}

export function marksOnMap({ scene }: Desk, map: RiverMap): Marks {
  const { lon, lat } = scene.offtakes;
  let flags: Dispose = () => undefined;
  let lit = false;

  function mark(findings: readonly Finding[]): string {
    flags();
    const { offtakes, reaches } = findingPlaces(findings, scene);
    const at = (row: number): LonLat => ({ lon: degrees(lon[row] ?? 0), lat: degrees(lat[row] ?? 0) });
    flags = mountFlags(map.leaflet, offtakes.map(at));
    const among = new Set(reaches);
    if (lit || among.size) map.light(among.size ? Float32Array.from(scene.reaches.reach_id, (_, row) => (among.has(row) ? 1 : 0)) : null, null);
    lit = among.size > 0;
    const told = [...(offtakes.length ? [`${offtakes.length} ringed`] : []), ...(reaches.length ? [`${reaches.length} reaches lit`] : [])];
    return told.length ? `On the map: ${told.join(", ")}.` : "";
  }

  return { mark, dispose: () => flags() };
}
