// The one table or figure beside the map at each step; no list has more than seven rows.
import { decimals, money, percent } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import { drawnSign } from "./ground.ts";
import type { Meeting, Now, Offtake } from "./told.ts";
import { choiceSide } from "./wall_choice.ts";
import { heading, MOST_ROWS, shareBar, table } from "./wall_parts.ts";
import { roomSide } from "./wall_room.ts";
import { screenDrawing } from "./wall_screen.ts";
import { counted } from "./words.ts";

const RISK_WORDS = ["lowest", "low", "middle", "high", "highest"] as const;

export function sideOf(meeting: Meeting, now: Now): Element[] {
  switch (now.step) {
    case "river":
      return [];
    case "problem":
      return problemSide(meeting);
    case "screens":
      return screensSide(meeting);
    case "list":
      return listSide(meeting);
    case "room":
      return roomSide(meeting, now);
    case "choice":
      return choiceSide(meeting, now);
  }
}

function problemSide({ offtakes }: Meeting): HTMLElement[] {
  const rows = RISK_WORDS.map((words, step) => [
    element("span", { class: "with-sign" }, [drawnSign({ shape: "inside", risk: true }, step), words]),
    String(offtakes.filter(({ risk }) => risk === step).length),
  ]).reverse();
  return [
    heading("Entrainment risk"),
    table("Offtakes by entrainment risk", [], rows),
    element("p", { class: "side-note" }, ["A step up is about four times the loss."]),
  ];
}

function screensSide({ facts }: Meeting): Element[] {
  const left = 1 - facts.benefit_share;
  return [
    heading("Loss to pumps and channels"),
    shareBar("before", 1),
    shareBar("after", left),
    element("p", { class: "side-figure" }, [element("b", {}, [percent(facts.benefit_share)]), " avoided"]),
    element("p", { class: "side-note" }, [`by screens at ${counted(facts.inside, "offtake")}`]),
    screenDrawing(),
  ];
}

function listSide(meeting: Meeting): HTMLElement[] {
  const { facts, budget, currency, offtakes } = meeting;
  const { inside } = facts.by_score;
  const first = offtakes.filter(({ by_score }) => by_score).slice(0, MOST_ROWS);
  const more = inside - first.length;
  const band = currency ? `Fund pays, ${currency}` : "Fund pays";
  return [
    table("The first inside the budget", ["Rank", "Offtake", band], first.map(({ code, rank, cost_band }) => [`${decimals(rank, 0)}.`, code, cost_band || "not told"]), first.map(({ code }) => code)),
    element("p", { class: "budget-line" }, [`${more > 0 ? `and ${more} more` : counted(inside, "offtake")} within ${money(budget, currency)}`]),
    ...rankNote(offtakes, first),
  ];
}

/** Why ranks are missing among the rows, where all that are missing were left out of the round. */
function rankNote(offtakes: readonly Offtake[], rows: readonly Offtake[]): HTMLElement[] {
  const last = rows[rows.length - 1]?.rank ?? 0;
  const isPassedOver = offtakes.some((offtake) => offtake.rank < last && offtake.state !== "not this round" && !rows.includes(offtake));
  return last === rows.length || isPassedOver ? [] : [element("p", { class: "side-note" }, ["Ranks that are missing are built or not in this round."])];
}
