// What the wall shows, and the keys of the desk: back, next, hold, and every step by its name.
import { element } from "../parts/element.ts";
import type { LeadDesk } from "./lead_desk.ts";
import { allow, button, isAllowed, type LeadPart, say, section } from "./lead_parts.ts";
import { figuresOf, placeOf, sentenceOf, titleOf } from "./lead_words.ts";
import { type Lead, type Meeting, type Now, STEPS } from "./told.ts";
import { clock } from "./words.ts";

export function wallPart(meeting: Meeting, desk: LeadDesk): LeadPart {
  const wall = frame("On the wall now");
  const stands = frame("Stands now, seen by you alone");
  const told = element("p", { class: "unseen", role: "status" });
  const buttons = controls(meeting, desk);
  const steps = stepButtons(meeting, desk);
  const part = section("wall", "The wall", [element("div", { class: "lead-frames" }, [wall.element, stands.element]), buttons.element, steps.element, told]);
  const heading = part.querySelector("h2") ?? part;

  function show(lead: Lead): void {
    part.classList.toggle("is-held", lead.held);
    stands.element.hidden = !lead.held;
    say(heading, lead.held ? `Held: the wall stands still since ${clock(new Date(lead.wall.at))}` : "The wall");
    wall.show(meeting, lead.wall, lead.held ? "On the wall, held" : "On the wall now");
    stands.show(meeting, lead, "Stands now, seen by you alone");
    buttons.show(lead);
    steps.show(lead);
    say(told, `${lead.held ? "The wall is held. Next to be shown" : "The wall shows"}: ${titleOf(meeting, lead.step)}.${lead.trial ? " The trial is shown." : ""}`);
  }

  return { element: part, show };
}

interface Frame {
  readonly element: HTMLElement;
  readonly show: (meeting: Meeting, now: Shown, label: string) => void;
}

type Shown = Pick<Now, "step" | "sentence" | "phones" | "tried" | "trial"> & { readonly agreed: { readonly what: string } | null };

function frame(label: string): Frame {
  const over = element("h3", { class: "lead-frame-over" }, [label]);
  const place = element("p", { class: "lead-frame-place" });
  const title = element("p", { class: "lead-frame-title" });
  const sentence = element("p", { class: "lead-frame-sentence" });
  const figures = element("p", { class: "lead-frame-figures" });
  return {
    element: element("div", { class: "lead-frame" }, [over, place, title, sentence, figures]),
    show: (meeting, now, words) => {
      say(over, words);
      say(place, placeOf(now.step));
      say(title, titleOf(meeting, now.step));
      say(sentence, sentenceOf(meeting, now));
      say(figures, figuresOf(now));
    },
  };
}

function controls(meeting: Meeting, desk: LeadDesk): LeadPart {
  const back = button("Back", "lead-back", () => isAllowed(back) && desk.stepBy(-1));
  const next = button("", "lead-next", () => isAllowed(next) && desk.stepBy(1));
  const hold = button("Hold", "lead-hold", () => desk.hold(!desk.now()?.held));
  return {
    element: element("div", { class: "lead-controls", role: "group", "aria-label": "Lead the wall" }, [back, hold, next]),
    show: ({ step, held }) => {
      const after = STEPS[STEPS.indexOf(step) + 1];
      allow(back, step !== STEPS[0]);
      allow(next, after !== undefined);
      say(next, after ? `Next: ${titleOf(meeting, after)}` : "The last step");
      say(hold, held ? "Let the wall go on" : "Hold the wall");
    },
  };
}

function stepButtons(meeting: Meeting, desk: LeadDesk): LeadPart {
  const all = STEPS.map((step, place) => {
    const made = button("", "lead-step", () => desk.step(step));
    made.append(element("span", { class: "lead-step-number", "aria-hidden": "true" }, [String(place + 1)]), element("span", {}, [titleOf(meeting, step)]));
    return made;
  });
  return {
    element: element("div", { class: "lead-steps", role: "group", "aria-label": "Steps" }, all),
    show: ({ step }) => all.forEach((each, place) => (STEPS[place] === step ? each.setAttribute("aria-current", "step") : each.removeAttribute("aria-current"))),
  };
}
