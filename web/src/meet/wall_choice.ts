// The choice: by score beside the best set, the case against a trial while the facilitator shows one, and what was
// agreed, as it was then. A trial is bannered, and never looks like the case, nor like another that was agreed.
import { percent } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import type { AgreedShown, Meeting, Now, Trial } from "./told.ts";
import { movers } from "./wall_movers.ts";
import { heading, MOST_ROWS, table } from "./wall_parts.ts";
import { avoidedWords, clock, counted } from "./words.ts";

export function choiceSide(meeting: Meeting, { trial, agreed: told }: Now): HTMLElement[] {
  const agreed = told?.what ? told : null;
  if (trial) return [banner(agreed), ...trialPart(meeting, trial), ...(agreed ? agreedBriefly(agreed) : [])];
  return [...(agreed ? [agreedPart(agreed)] : []), ...waysPart(meeting, agreed)];
}

/** Each way with a bar of its own; the agreed set first. */
function waysPart({ facts, way }: Meeting, agreed: AgreedShown | null): HTMLElement[] {
  const isCase = agreed?.what === "case";
  const both = [["By score", facts.by_score], ["Best set", facts.best]] as const;
  return [
    heading("Loss to pumps and channels avoided"),
    ...(agreed?.what === "trial" ? [wayBar("Agreed", agreed.inside_count, percent(agreed.benefit_share), agreed.benefit_share)] : []),
    ...both.map(([words, facts_of]) => wayBar(`${words}${words === way ? ` (the case${isCase ? ", agreed" : ""})` : ""}`, facts_of.inside, avoidedWords(facts_of), facts_of.benefit_share)),
  ];
}

function wayBar(words: string, inside: number, avoided: string, share: number): HTMLElement {
  const fill = element("span", { class: "bar-fill" });
  fill.style.setProperty("--share", String(share));
  return element("div", { class: "way" }, [
    element("p", {}, [element("span", {}, [element("b", {}, [words]), `: ${counted(inside, "offtake")}`]), element("b", {}, [avoided])]),
    element("span", { class: "bar" }, [fill]),
  ]);
}

function banner(agreed: AgreedShown | null): HTMLElement {
  const words = !agreed ? "A trial. The case has not moved." : agreed.is_trial_shown ? `The trial agreed at ${clock(new Date(agreed.at))}` : "Another trial, not what was agreed";
  return element("p", { class: "trial-banner" }, [words]);
}

/** The best set stays beside it. */
function trialPart({ criteria, weights, facts, offtakes }: Meeting, trial: Trial): HTMLElement[] {
  const rows = criteria.slice(0, MOST_ROWS - 2).map(({ name, label }) => [label, share(weights[name]), share(trial.weights[name]), ""]);
  const figures = table("The case, the trial and the best set", ["", "case", "trial", "best set"], [
    ["Offtakes", String(facts.inside), String(trial.inside), String(facts.best.inside)],
    ["Loss avoided", percent(facts.benefit_share), percent(trial.benefit_share), avoidedWords(facts.best).replace("at least ", "≥ ")],
    ...rows,
  ]);
  figures.classList.add("of-figures");
  return [figures, movers(offtakes, trial)];
}

function share(thousandths = 0): string {
  return percent(Math.round(thousandths / 10) / 100);
}

/** Its words give way first; they are whole in the minutes. */
function agreedPart({ what, words, at }: AgreedShown): HTMLElement {
  const which = what === "case" ? "the case" : "a trial";
  return element("section", { class: "agreed" }, [heading(`Agreed at ${clock(new Date(at))}: ${which}`), ...wordsPart(words)]);
}

/** Beside a trial: in a line, with the words where they find room; what is the trial itself is said in its banner. */
function agreedBriefly({ what, words, inside_count, benefit_share, is_trial_shown }: AgreedShown): HTMLElement[] {
  const which = what === "case" ? "the case, " : "";
  const parts = [...(is_trial_shown ? [] : [heading(`Agreed: ${which}${counted(inside_count, "offtake")}, ${percent(benefit_share)}`)]), ...wordsPart(words)];
  return parts.length ? [element("section", { class: "agreed agreed-brief" }, parts)] : [];
}

function wordsPart(words: string): HTMLElement[] {
  return words ? [element("p", { class: "wall-words" }, [words])] : [];
}
