// How the map looks at each step, and what its signs mean there.
import { element } from "../parts/element.ts";
import { type DotLook, type GroundLook, asTheCase, asTheSet, drawnSign } from "./ground.ts";
import type { Meeting, Now, Offtake } from "./told.ts";

/** Of the largest towns; beside dots fewer find room. */
const [MOST_TOWNS, FEW_TOWNS] = [10, 4];
const RISK_STEPS = [0, 1, 2, 3, 4] as const;

type Look = (offtake: Offtake) => DotLook;

/** `told` are the codes of the figures beside the map, which are then written on it. */
export function groundOf(meeting: Meeting, now: Now, told: ReadonlySet<string>): { readonly look: Look; readonly shown: GroundLook } {
  const isRiver = now.step === "river";
  return { look: withWords(lookOf(now), now.step === "room" ? new Set() : told), shown: { label: labelOf(meeting, now), rivers: isRiver, towns: isRiver ? MOST_TOWNS : FEW_TOWNS } };
}

function lookOf({ step, room, trial, agreed }: Now): Look {
  switch (step) {
    case "river":
      return () => ({ shape: "inside", weight: "quiet" });
    case "problem":
      return () => ({ shape: "inside", risk: true });
    case "screens":
      return asTheCase;
    case "list":
      return byScore;
    case "room":
      return room ? inTheRoom(room.stays) : asTheCase;
    case "choice":
      if (trial) return besides(trial.joins, trial.leaves);
      return agreed?.what ? asTheSet(new Set(agreed.inside)) : asTheCase;
  }
}

/** The list is the one by score, also where the case rests on the best set. */
const byScore = ({ by_score, state }: Offtake): DotLook => ({ shape: by_score ? "inside" : state === "not this round" ? state : "outside", risk: true });

/** What stays whatever was tried here is strong; the rest is faint. */
function inTheRoom(stays: readonly string[]): Look {
  const strong = new Set(stays);
  return ({ code, state }) => (strong.has(code) ? { shape: "inside", risk: true, weight: "strong" } : { shape: state, weight: "faint" });
}

/** The case against a trial: what the trial brings in, full; what it leaves out, a heavy ring; the rest faint. */
function besides(joins: readonly string[], leaves: readonly string[]): Look {
  const [full, hollow] = [new Set(joins), new Set(leaves)];
  return ({ code, state }) => {
    const shape = full.has(code) ? "inside" : hollow.has(code) ? "outside" : null;
    return shape ? { shape, risk: true, weight: "strong" } : { shape: state, weight: "faint" };
  };
}

function withWords(look: Look, codes: ReadonlySet<string>): Look {
  return (offtake) => ({ ...look(offtake), ...(codes.has(offtake.code) ? { words: offtake.code } : {}) });
}

function labelOf({ catchment, offtakes, facts }: Meeting, { step, room, trial, agreed }: Now): string {
  const map = `Map of ${catchment}`;
  if (step === "river") return `${map}: rivers, towns and ${offtakes.length} offtakes`;
  if (step === "problem") return `${map}: ${offtakes.length} offtakes by entrainment risk`;
  if (step === "room" && room) return `${map}: ${room.stays.length} offtakes that stay inside under every weighting tried`;
  if (step === "choice" && trial) return `${map}: ${trial.joins.length} offtakes a trial brings in, ${trial.leaves.length} it leaves out`;
  if (step === "choice" && agreed?.what) return `${map}: the ${agreed.inside_count} offtakes agreed`;
  const inside = step === "list" ? facts.by_score.inside : facts.inside;
  return `${map}: ${inside} of ${offtakes.length} offtakes inside the budget`;
}

/** Every sign is drawn as it stands on the map of that step. */
export function legendOf({ offtakes }: Meeting, { step, room, trial, agreed }: Now): HTMLElement[] {
  const entry = (words: string, look: DotLook): HTMLElement => element("p", {}, [drawnSign(look), words]);
  if (step === "river") return [entry("an offtake", { shape: "inside", weight: "quiet" })];
  if (step === "problem") return [];
  const [full, hollow] = [{ shape: "inside", weight: "faint" }, { shape: "outside", weight: "faint" }] as const;
  if (step === "room" && room) return [entry("stays inside", { shape: "inside", risk: true, weight: "strong" }), entry("in the case", full), entry("neither", hollow), ramp()];
  if (step === "choice" && trial) {
    const moves = [entry("joins", { shape: "inside", risk: true, weight: "strong" }), entry("leaves", { shape: "outside", risk: true, weight: "strong" })];
    return [...moves, entry("in both", full), entry("in neither", hollow), ramp()];
  }
  const isAgreed = step === "choice" && Boolean(agreed?.what);
  const isLater = offtakes.some(({ state }) => state === "not this round");
  return [
    entry(isAgreed ? "agreed" : "inside", { shape: "inside", risk: true }),
    entry("outside", { shape: "outside", risk: true }),
    ...(isLater ? [entry("not this round", { shape: "not this round", risk: true })] : []),
    ramp(),
  ];
}

function ramp(): HTMLElement {
  return element("p", { class: "legend-ramp" }, ["risk low", element("span", {}, RISK_STEPS.map((step) => drawnSign({ shape: "inside", risk: true }, step))), "high"]);
}
