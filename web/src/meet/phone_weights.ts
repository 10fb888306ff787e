// The sliders of a phone: what each criterion counts, set by pointer, keys, two buttons or typing; and whether
// what they say counts in the room.
import { element } from "../parts/element.ts";
import { type Levels, sameLevels, sharesOf, withLevel, LEVEL_SCALE } from "./mine.ts";
import { makeCriterion } from "./phone_criterion.ts";
import type { Meeting } from "./wire.ts";

export interface WeightsPart {
  readonly element: HTMLElement;
  readonly show: (levels: Levels, isOwn: boolean) => void;
}

export interface Weighing {
  readonly set: (levels: Levels) => void;
  /** Nothing of this phone counts any more. */
  readonly withdraw: () => void;
}

const WORDS = {
  start: "These are the agency’s weights. Nothing of yours counts until you move one.",
  own: "These are yours, and count as one of those tried here.",
  same: "These are the agency’s weights, and count as yours.",
  near: "These are near the agency’s weights, and count as yours.",
  count: "Count the agency’s weights as mine",
  countNear: "Count weights near the agency’s as mine",
  back: "Back to the agency’s weights, counted as mine",
  backNear: "Back near the agency’s weights, counted as mine",
  withdraw: "Do not count mine",
  withdrawn: "Yours does not count any more. The sliders stand at the agency’s weights.",
  least: "Something has to count: this one stays at 1.",
};

/** `start` are the agency's own, as near as whole steps come. */
export function mountWeights({ criteria, weights }: Meeting, start: Levels, { set, withdraw }: Weighing): WeightsPart {
  const names = criteria.map(({ name }) => name);
  const isExact = names.every((name) => sharesOf(start, names)[name] === weights[name]);
  let now = start;
  const told = element("p", { class: "told weights-told", role: "status" });
  const said = [WORDS.start, WORDS.own, isExact ? WORDS.same : WORDS.near].map((words) => element("span", {}, [words]));
  const whose = element("p", { class: "whose", tabindex: -1 }, said);
  const back = element("button", { type: "button", class: "button" });
  const away = element("button", { type: "button", class: "button" }, [WORDS.withdraw]);
  back.addEventListener("click", () => set(start));
  away.addEventListener("click", () => {
    withdraw();
    told.textContent = WORDS.withdrawn;
    whose.focus({ preventScroll: true }); // the button pressed stands idle
  });

  /** Gives what is to be told of a move: "" where it was made as asked. */
  function move(name: string, level: number): string {
    const next = withLevel(now, name, level);
    const taken = next ?? { ...now, [name]: LEVEL_SCALE.step };
    if (!sameLevels(taken, now)) set(taken);
    return next ? "" : WORDS.least;
  }

  const all = criteria.map((criterion) => makeCriterion(criterion, (level) => move(criterion.name, level)));
  return {
    element: element("section", { class: "weights", "aria-labelledby": "weights-title" }, [
      element("h2", { id: "weights-title" }, ["What should count?"]),
      whose,
      ...all.map((each) => each.element),
      element("div", { class: "weights-whose" }, [back, away]),
      told,
    ]),
    show: (levels, isOwn) => {
      now = levels;
      const isStart = sameLevels(levels, start);
      const shares = isOwn ? sharesOf(levels, names) : weights;
      all.forEach(({ show }, i) => show(levels[names[i] ?? ""] ?? 0, shares[names[i] ?? ""] ?? 0));
      // All keep their room, so that no slider moves away under a finger.
      const stands = isOwn ? (isStart ? 2 : 1) : 0;
      said.forEach((each, i) => each.classList.toggle("away", i !== stands));
      back.textContent = isOwn ? (isExact ? WORDS.back : WORDS.backNear) : isExact ? WORDS.count : WORDS.countNear;
      back.disabled = isOwn && isStart;
      away.disabled = !isOwn;
      if (isOwn) told.textContent = "";
    },
  };
}
