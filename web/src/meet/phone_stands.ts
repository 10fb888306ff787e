// Where an offtake stands: inside under this phone's weights alone, in the agency's list alone, in both, or in
// neither; and what each of these is called, before and after somebody moved a slider.
import type { Meeting, Offtake } from "./wire.ts";

export type Stand = "own" | "agencys" | "both" | "neither" | "not this round";
/** In this order they are listed: what a phone's weights change comes first. */
export const LISTED = ["own", "agencys", "both"] as const;

/** What is inside under some weights, beside the agency's list. */
export interface Sets {
  readonly inside: ReadonlySet<string>;
  readonly agencys: ReadonlySet<string>;
  /** Whether the weights are this phone's own; else they are the agency's, by score. */
  readonly isOwn: boolean;
  readonly way: Meeting["way"];
}

export function setsOf({ offtakes, way }: Meeting, inside: readonly string[], isOwn: boolean): Sets {
  const agencys = new Set(offtakes.filter((each) => each.state === "inside").map((each) => each.code));
  return { inside: new Set(inside), agencys, isOwn, way };
}

export function standOf({ code, state }: Offtake, { inside, agencys }: Sets): Stand {
  const [own, its] = [inside.has(code), agencys.has(code)];
  if (own || its) return own && its ? "both" : own ? "own" : "agencys";
  return state === "not this round" ? state : "neither";
}

const OWN: Readonly<Record<Stand, string>> = {
  own: "Inside under yours alone",
  agencys: "Inside the agency’s list alone",
  both: "Inside under both",
  neither: "Outside under both",
  "not this round": "Built, or not in this round",
};
const LIST: Readonly<Record<Stand, string>> = { ...OWN, both: "Inside the agency’s list", neither: "Outside the agency’s list" };
const SCORE: Readonly<Record<Stand, string>> = {
  ...OWN,
  own: "Inside by score alone",
  agencys: "Inside the agency’s best set alone",
  both: "Inside by score and in the best set",
  neither: "Outside by score and the best set",
};

export function standWords(stand: Stand, { isOwn, way }: Pick<Sets, "isOwn" | "way">): string {
  return (isOwn ? OWN : way === "By score" ? LIST : SCORE)[stand];
}
