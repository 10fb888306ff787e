// Where the drifters it takes come from and where they would have settled: lit on the map, with a line
// here that says which is which.
import { percent } from "../core/numbers.ts";
import { riverOf } from "../core/why_words.ts";
import type { Routes } from "../wire/why.ts";
import { element } from "./element.ts";
import { GUIDE, whyBlock } from "./why_block.ts";

/** What the panel asks of the map: shares a reach row, or null for none. */
export interface LitMap {
  light(fromShare: Float32Array | null, toShare: Float32Array | null): void;
}

export function lightRoutes(map: LitMap, routes: Routes): void {
  map.light(shares(routes.from_reach), shares(routes.to_reach));
}

export function darken(map: LitMap): void {
  map.light(null, null);
}

function shares(millionths: readonly number[]): Float32Array {
  return Float32Array.from(millionths, (each) => each / 1e6);
}

export type RoutesState = Routes | "waiting" | "failed";

export function routesBlock(routes: RoutesState, reachNames: readonly string[]): HTMLElement {
  return whyBlock("routes", "On the map", "drifters are followed", GUIDE.drift, [
    element("p", { role: "status", class: "why-lit" }, typeof routes === "string" ? [said(routes)] : [
      key("from"),
      `where its drifters come from${mostly(routes.from_reach, reachNames)}`,
    ]),
    ...(typeof routes === "string" ? [] : [
      element("p", { class: "why-lit" }, [
        key("to"),
        `where they would have settled${mostly(routes.to_reach, reachNames)}`,
        ...(routes.to_outlet > 0 ? [`; ${percent(routes.to_outlet / 1e6)} past the outlet`] : []),
      ]),
    ]),
  ]);
}

function key(which: "from" | "to"): HTMLElement {
  return element("span", { class: `why-lit-key why-lit-${which}`, "aria-hidden": "true" });
}

function said(state: "waiting" | "failed"): string {
  return state === "waiting" ? "Following its drifters…" : "The routes could not be fetched, so the map shows none.";
}

/** ", 64 % in Lantern River": the river that has most. */
function mostly(millionths: readonly number[], names: readonly string[]): string {
  const rivers = new Map<string, number>();
  millionths.forEach((each, row) => {
    const name = riverOf(names[row] ?? "");
    if (name) rivers.set(name, (rivers.get(name) ?? 0) + each);
  });
  const [name, most] = [...rivers].sort((a, b) => b[1] - a[1])[0] ?? ["", 0];
  return most > 0 ? `, ${percent(most / 1e6)} in ${name}` : "";
}
