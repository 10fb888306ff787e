// The trial: the middle of the room's weights beside the case's own, and what it would change.
import { percent } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import type { LeadDesk } from "./lead_desk.ts";
import { allow, button, isAllowed, type LeadPart, say, section, whenChanged } from "./lead_parts.ts";
import { movesWords, trialWords } from "./lead_words.ts";
import type { Meeting, Weights } from "./told.ts";

export function trialPart(meeting: Meeting, desk: LeadDesk): LeadPart {
  const words = element("p");
  const [joins, leaves] = [moves("join"), moves("leave")];
  const weights = element("div", { class: "lead-weights" });
  const press = button("", "", () => isAllowed(press) && desk.trial(!desk.now()?.trial));
  const showWeights = whenChanged((told: Weights) => weights.replaceChildren(weightTable(meeting, told)));
  return {
    element: section("trial", "Trial", [words, press, weights, joins.element, leaves.element]),
    show: (lead) => {
      const { trial } = lead;
      say(words, trialWords(lead, meeting.least_tried));
      say(press, trial ? "Stop the trial" : "Show the trial");
      press.classList.toggle("is-on", trial !== null);
      allow(press, trial !== null || lead.tried >= meeting.least_tried);
      for (const each of [joins.element, leaves.element, weights]) each.hidden = trial === null;
      if (!trial) return;
      showWeights(trial.weights);
      joins.show(trial.joins);
      leaves.show(trial.leaves);
    },
  };
}

/** No code is broken over two lines, and each can be copied as it is. */
function moves(verb: string): { readonly element: HTMLElement; readonly show: (codes: readonly string[]) => void } {
  const words = element("p");
  return {
    element: words,
    show: whenChanged((codes) => words.replaceChildren(movesWords(codes.length, verb), ...codes.flatMap((code, place) => [...(place ? [", "] : []), element("span", { class: "lead-move" }, [code])]))),
  };
}

function weightTable({ criteria, weights }: Meeting, trial: Weights): HTMLElement {
  const cell = (of: Weights, name: string): HTMLElement => element("td", {}, [percent((of[name] ?? 0) / 1000)]);
  return element("table", {}, [
    element("caption", { class: "unseen" }, ["Weights of the case and of the trial"]),
    element("thead", {}, [element("tr", {}, ["Weight", "Case", "Trial"].map((words) => element("th", { scope: "col" }, [words])))]),
    element("tbody", {}, criteria.map(({ name, label }) => element("tr", {}, [element("th", { scope: "row" }, [label]), cell(weights, name), cell(trial, name)]))),
  ]);
}
