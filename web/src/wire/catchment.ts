// Fetches a catchment: what the page cannot do without, and what makes the map richer.
import { ask } from "./ask.ts";
import { ofDataInView } from "./case_in_view.ts";
import type { CatchmentFacts, Land, Offtakes, Places, Reaches, Roads } from "./contract.ts";

export interface Essentials {
  readonly facts: CatchmentFacts;
  readonly offtakes: Offtakes;
  readonly reaches: Reaches;
}

export interface Surroundings {
  readonly land: Land;
  readonly roads: Roads;
  readonly places: Places;
}

export function reliefAddress(): string {
  return ofDataInView("/api/relief.png");
}

/** `as` narrows what is shown to what that viewer may see; "" asks for all. */
export async function fetchEssentials(as: string, signal: AbortSignal): Promise<Essentials> {
  const [facts, offtakes, reaches] = await Promise.all([
    ask<CatchmentFacts>(seenBy("/api/catchment", as), signal),
    ask<Offtakes>(seenBy("/api/offtakes", as), signal),
    ask<Reaches>(seenBy("/api/reaches?detail=overview", as), signal),
  ]);
  return { facts, offtakes: withAllCriteria(offtakes), reaches };
}

/** The three criteria that every score has travel as columns of their own; here they join the rest. */
function withAllCriteria(offtakes: Offtakes): Offtakes {
  const { risk, overlap, cost, criteria } = offtakes;
  return { ...offtakes, criteria: { risk, overlap, ...(cost ? { cost } : {}), ...criteria } };
}

/** Rivers in full, for a closer look. */
export function fetchFineRivers(as: string, signal: AbortSignal): Promise<Reaches> {
  return ask<Reaches>(seenBy("/api/reaches", as), signal);
}

export async function fetchSurroundings(as: string, signal: AbortSignal): Promise<Surroundings> {
  const [land, roads, places] = await Promise.all([
    ask<Land>(seenBy("/api/land", as), signal),
    ask<Roads>(seenBy("/api/roads", as), signal),
    ask<Places>(seenBy("/api/places", as), signal),
  ]);
  return { land, roads, places };
}

function seenBy(address: string, as: string): string {
  const joint = address.includes("?") ? "&" : "?";
  return ofDataInView(as ? `${address}${joint}as=${encodeURIComponent(as)}` : address);
}
