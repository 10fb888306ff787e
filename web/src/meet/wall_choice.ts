// The choice: by score beside the best set, the case against a trial while the facilitator shows one, and what was
// agreed. A trial is bannered, and never looks like the case.
import { percent } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import type { Meeting, Now, Trial } from "./told.ts";
import { heading, MOST_ROWS, shareBar, table } from "./wall_parts.ts";
import { counted } from "./words.ts";

export function choiceSide(meeting: Meeting, { trial, agreed }: Now): HTMLElement[] {
  return [...(agreed?.what ? agreedPart(agreed) : []), ...(trial ? trialPart(meeting, trial, agreed?.what ? 3 : MOST_ROWS) : waysPart(meeting))];
}

function waysPart({ facts, way }: Meeting): HTMLElement[] {
  const both = [["By score", facts.by_score], ["Best set", facts.best]] as const;
  return [
    heading("Loss to pumps avoided"),
    ...both.flatMap(([words, { inside, benefit_share }]) => [
      element("p", { class: "way" }, [element("b", {}, [words]), words === way ? " (the case): " : ": ", counted(inside, "offtake")]),
      shareBar(percent(benefit_share), benefit_share),
    ]),
  ];
}

function trialPart({ criteria, weights, facts }: Meeting, trial: Trial, most: number): HTMLElement[] {
  const { joins, leaves } = trial;
  const rows = criteria.slice(0, most - 2).map(({ name, label }) => [label, share(weights[name]), share(trial.weights[name])]);
  return [
    element("p", { class: "trial-banner" }, ["A trial: this room’s middle. The case has not moved."]),
    table("Weights of the case and of the trial, of 100", ["of 100", "case", "trial"], [...rows, ["inside", String(facts.inside), String(trial.inside)], ["avoided", percent(facts.benefit_share), percent(trial.benefit_share)]]),
    element("p", { class: "side-note" }, [`${counted(joins.length, "offtake")} ${joins.length === 1 ? "joins" : "join"}, ${leaves.length} ${leaves.length === 1 ? "leaves" : "leave"}.`]),
  ];
}

function share(thousandths = 0): string {
  return String(Math.round(thousandths / 10));
}

function agreedPart({ what, words }: NonNullable<Now["agreed"]>): HTMLElement[] {
  return [
    element("section", { class: "agreed" }, [heading(what === "case" ? "Agreed: the case" : "Agreed: the trial"), ...(words ? [element("p", {}, [words])] : [])]),
  ];
}
