// What the hall agrees on: a button for each thing that can be agreed, with its numbers. One is chosen, then kept;
// a trial agreed before and the one shown now are two things, also where they look alike.
import { percent } from "../core/numbers.ts";
import { element } from "../parts/element.ts";
import { wordsOf } from "../parts/form_field.ts";
import type { LeadDesk } from "./lead_desk.ts";
import { allow, button, isAllowed, type LeadPart, say } from "./lead_parts.ts";
import type { Lead, Meeting } from "./told.ts";
import { clock, counted } from "./words.ts";

type Choice = "" | "case" | "same" | "trial";

export interface ChoicePart extends LeadPart {
  /** Chosen and not agreed yet, in words; "" where nothing is. */
  readonly pending: () => string;
}

export function choicePart(meeting: Meeting, desk: LeadDesk): ChoicePart {
  const made = new Map<Choice, HTMLButtonElement>();
  const group = element("div", { class: "lead-choices", role: "group", "aria-labelledby": "lead-choices" });
  const go = button("Agree on this", "lead-main", () => void (isAllowed(go) && agree()));
  const told = element("p", { class: "lead-told", role: "status" });
  let [chosen, stood, wrong]: [Choice | null, string, string] = [null, "", ""];

  const buttonOf = (choice: Choice): HTMLButtonElement => {
    const known = made.get(choice) ?? button("", "lead-choice", () => choose(choice));
    made.set(choice, known);
    return known;
  };

  function choose(choice: Choice): void {
    const lead = desk.now();
    if (!lead) return;
    [chosen, wrong] = [choice === standing(lead) ? null : choice, ""];
    paint(lead);
  }

  async function agree(): Promise<void> {
    const lead = desk.now();
    if (!lead || chosen === null) return;
    const { words, left_open, revision: seen } = lead.agreed;
    const what = chosen;
    [chosen, wrong] = [null, ""]; // what comes of it is nobody else's change
    try {
      await desk.agree({ what, words, left_open, seen });
    } catch (error) {
      [chosen, wrong] = [what, wordsOf(error, "It could not be agreed.")];
    }
    paint(desk.now() ?? lead);
  }

  function show(lead: Lead): void {
    const { what, at } = lead.agreed;
    const stands = JSON.stringify([what, at, chosen === "trial" && lead.trial?.weights]);
    if (chosen !== null && stood && stands !== stood) [chosen, wrong] = [null, "What can be agreed has changed meanwhile. Choose again."];
    paint(lead);
  }

  function paint(lead: Lead): void {
    stood = JSON.stringify([lead.agreed.what, lead.agreed.at, chosen === "trial" && lead.trial?.weights]);
    const choices = choicesOf(meeting, lead);
    const buttons = choices.map(([choice, words]) => {
      const each = buttonOf(choice);
      say(each, words);
      each.setAttribute("aria-pressed", String(choice === (chosen ?? standing(lead))));
      return each;
    });
    if (buttons.length !== group.childElementCount || buttons.some((each, i) => each !== group.children[i])) group.replaceChildren(...buttons);
    allow(go, chosen !== null);
    go.classList.toggle("is-due", chosen !== null);
    say(told, wrong || (chosen !== null ? "Chosen, not agreed yet." : standing(lead) === "" ? "" : "Agreed: so it stands on the wall and in the minutes."));
  }

  return {
    element: element("div", { class: "lead-form" }, [element("h3", { id: "lead-choices" }, ["The hall agrees on"]), group, element("div", { class: "lead-go" }, [go, told])]),
    show,
    pending: () => (chosen === null ? "" : (made.get(chosen)?.textContent ?? "")),
  };
}

/** What is pressed while nothing else is chosen. */
function standing({ agreed }: Lead): Choice {
  return agreed.what === "trial" ? "same" : agreed.what;
}

function choicesOf({ facts }: Meeting, { agreed, trial }: Lead): (readonly [Choice, string])[] {
  const numbers = (inside: number, share: number): string => `${counted(inside, "offtake")}, ${percent(share)}`;
  const isAgreed = agreed.what === "trial";
  return [
    ["", "Nothing yet"],
    ["case", `The case as it stands: ${numbers(facts.inside, facts.benefit_share)}`],
    ...(isAgreed ? [["same", `The trial agreed at ${clock(new Date(agreed.at))}: ${numbers(agreed.inside_count, agreed.benefit_share)}`] as const] : []),
    ...(trial && !(isAgreed && agreed.is_trial_shown) ? [["trial", `The trial shown now: ${numbers(trial.inside, trial.benefit_share)}`] as const] : []),
  ];
}
