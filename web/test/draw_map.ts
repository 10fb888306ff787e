// The map alone, for tests of its drawing; bundled by a test, never part of the page.
import { Chosen } from "../src/core/chosen.ts";
import { makeScene } from "../src/core/scene.ts";
import { mountRiverMap, type RiverMap } from "../src/surface/river_map.ts";
import { fetchEssentials, fetchSurroundings } from "../src/wire/catchment.ts";

const chosen = new Chosen();
let map: RiverMap | null = null;

export async function mountMap(): Promise<void> {
  const { signal } = new AbortController();
  const scene = makeScene(await fetchEssentials("", signal));
  const host = document.createElement("div");
  host.className = "map";
  host.style.cssText = "position: fixed; inset: 0; z-index: 10";
  document.body.replaceChildren(host);
  map = mountRiverMap(host, scene, chosen, () => undefined, () => 0, () => Promise.reject(new Error("no finer rivers here")));
  map.surround(await fetchSurroundings("", signal));
}

export function hover(row: number): void {
  chosen.hover(row, "list");
}

export function hovered(): number {
  return chosen.now.hovered;
}

export function paint(marks: number[], steps: number[], byRank: number[]): void {
  map?.paint(Uint8Array.from(marks), Uint8Array.from(steps), byRank);
}

export function light(from: number[] | null, to: number[] | null): void {
  map?.light(from && Float32Array.from(from), to && Float32Array.from(to));
}
