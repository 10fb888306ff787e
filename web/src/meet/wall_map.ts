// How the map looks at each step, and what its signs mean there.
import { element } from "../parts/element.ts";
import { type DotLook, type GroundLook, asTheCase } from "./ground.ts";
import type { Meeting, Now, Offtake, State } from "./told.ts";


/** Of the largest towns; beside dots fewer find room. */
const [MOST_TOWNS, FEW_TOWNS] = [10, 4];
/** Codes written on the map. */
const MOST_CODES = 7;

type Look = ((offtake: Offtake) => DotLook) | null;

/** `told` are the codes of the list beside the map, which are then written on it. */
export function groundOf(meeting: Meeting, now: Now, told: ReadonlySet<string>): { readonly look: Look; readonly shown: GroundLook } {
  return { look: withWords(lookOf(now), now.step === "list" ? told : new Set()), shown: { label: labelOf(meeting, now), rivers: now.step === "river", towns: now.step === "river" ? MOST_TOWNS : FEW_TOWNS } };
}

function lookOf(now: Now): Look {
  switch (now.step) {
    case "river":
      return null;
    case "problem":
      return () => ({ shape: "inside", risk: true });
    case "screens":
      return asTheCase;
    case "list":
      return byScore;
    case "room":
      return now.room ? inTheRoom(now.room.stays) : asTheCase;
    case "choice":
      return now.trial ? besides(now.trial.joins, now.trial.leaves) : asTheCase;
  }
}

/** The list is the one by score, also where the case rests on the best set. */
const byScore = ({ by_score, state }: Offtake): DotLook => ({ shape: by_score ? "inside" : state === "not this round" ? state : "outside", risk: true });

/** What stays whatever was tried here is strong; the rest is faint. */
function inTheRoom(stays: readonly string[]): Look {
  const strong = new Set(stays);
  return ({ code, state }) => (strong.has(code) ? { shape: "inside", risk: true, weight: "strong" } : { shape: state, weight: "faint" });
}

/** The case against a trial: what the trial brings in, full; what it leaves out, hollow; the rest faint. */
function besides(joins: readonly string[], leaves: readonly string[]): Look {
  const [full, hollow] = [new Set(joins), new Set(leaves)];
  const few = joins.length + leaves.length <= MOST_CODES;
  return ({ code, state }) => {
    const shape = full.has(code) ? "inside" : hollow.has(code) ? "outside" : null;
    return shape ? { shape, risk: true, weight: "strong", ...(few ? { words: code } : {}) } : { shape: state, weight: "faint" };
  };
}

function withWords(look: Look, codes: ReadonlySet<string>): Look {
  if (!look) return null;
  return (offtake) => ({ ...look(offtake), ...(codes.has(offtake.code) ? { words: offtake.code } : {}) });
}

function labelOf({ catchment, offtakes, facts }: Meeting, { step, room, trial }: Now): string {
  const map = `Map of ${catchment}`;
  if (step === "river") return `${map}: rivers and towns`;
  if (step === "problem") return `${map}: ${offtakes.length} offtakes by entrainment risk`;
  if (step === "room" && room) return `${map}: ${room.stays.length} offtakes that stay inside under every weighting tried`;
  if (step === "choice" && trial) return `${map}: ${trial.joins.length} offtakes a trial brings in, ${trial.leaves.length} it leaves out`;
  const inside = step === "list" ? facts.by_score.inside : facts.inside;
  return `${map}: ${inside} of ${offtakes.length} offtakes inside the budget`;
}

/** A sign as the map draws it, beside words. */
export function sign(shape: State, kind = ""): HTMLElement {
  return element("span", { class: `sign sign-${shape.replaceAll(" ", "-")} ${kind}`.trim(), "aria-hidden": "true" });
}

export function legendOf({ offtakes }: Meeting, { step, room, trial }: Now): HTMLElement[] {
  const entry = (shape: State, words: string, kind = ""): HTMLElement => element("p", {}, [sign(shape, kind), words]);
  if (step === "river" || step === "problem") return [];
  if (step === "room" && room) return [entry("inside", "inside under all tried", "sign-plain"), entry("inside", "in the case, not under all", "sign-faint"), entry("outside", "neither", "sign-faint")];
  if (step === "choice" && trial) return [entry("inside", "joins in the trial", "sign-plain"), entry("outside", "leaves in the trial", "sign-plain")];
  const ramp = element("p", { class: "legend-ramp" }, ["risk low", element("span", {}, [0, 1, 2, 3, 4].map((step) => sign("inside", `risk-${step + 1}`))), "high"]);
  const some = (state: State): boolean => offtakes.some((offtake) => offtake.state === state);
  return [entry("inside", "inside", "sign-plain"), entry("outside", "outside", "sign-plain"), ...(some("not this round") ? [entry("not this round", "not this round", "sign-plain")] : []), ramp];
}
