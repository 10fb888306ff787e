// The sliders of a phone: what each criterion counts, set by pointer, keys, two buttons or typing.
import { element } from "../parts/element.ts";
import { type Dial, mountDial } from "../parts/dial.ts";
import { type Levels, LEVEL_SCALE, sharesOf, typedLevel, withLevel } from "./mine.ts";
import { percent } from "../core/numbers.ts";
import type { Criterion, Meeting } from "./wire.ts";

export interface WeightsPart {
  readonly element: HTMLElement;
  readonly show: (levels: Levels, isOwn: boolean) => void;
}

const WORDS = {
  start: "These are the agency’s weights. Move one to try your own; until then nothing of yours counts.",
  own: "These are yours, and count as one of those tried here.",
  back: "Back to the agency’s weights",
  near: "Back near the agency’s weights",
  least: "Something has to count: this one stays at 1.",
};

/** `start` are the agency's own, as near as whole steps come. */
export function mountWeights({ criteria, weights }: Meeting, start: Levels, set: (levels: Levels) => void): WeightsPart {
  const names = criteria.map(({ name }) => name);
  const isExact = names.every((name) => sharesOf(start, names)[name] === weights[name]);
  let now = start;
  const told = element("p", { class: "told", role: "status" });
  const [agencys, own] = [element("span", {}, [WORDS.start]), element("span", {}, [WORDS.own])];
  const whose = element("p", { class: "whose" }, [agencys, own]);
  const back = element("button", { type: "button", class: "button" }, [isExact ? WORDS.back : WORDS.near]);
  back.addEventListener("click", () => set(start));

  function move(name: string, level: number): void {
    const next = withLevel(now, name, level);
    told.textContent = next ? "" : WORDS.least;
    set(next ?? { ...now, [name]: LEVEL_SCALE.step });
  }

  const all = criteria.map((criterion) => makeCriterion(criterion, (level) => move(criterion.name, level)));
  return {
    element: element("section", { class: "weights", "aria-labelledby": "weights-title" }, [
      element("h2", { id: "weights-title" }, ["What should count?"]),
      whose,
      ...all.map((each) => each.element),
      told,
      back,
    ]),
    show: (levels, isOwn) => {
      now = levels;
      const shares = isOwn ? sharesOf(levels, names) : weights;
      all.forEach(({ show }, i) => show(levels[names[i] ?? ""] ?? 0, shares[names[i] ?? ""] ?? 0));
      // Both keep their room, so that no slider moves away under a finger.
      agencys.classList.toggle("away", isOwn);
      own.classList.toggle("away", !isOwn);
      back.disabled = !isOwn;
    },
  };
}

interface OneCriterion {
  readonly element: HTMLElement;
  readonly show: (level: number, thousandths: number) => void;
}

function makeCriterion({ name, label, meaning }: Criterion, set: (level: number) => void): OneCriterion {
  const share = element("strong", { class: "weigh-share" });
  const made = element("div", { class: "weigh", "data-criterion": name });
  const words = { name: label, less: `${label}: one less`, more: `${label}: one more`, unit: `of ${LEVEL_SCALE.most}` };
  const dial: Dial = mountDial(made, words, { scale: LEVEL_SCALE, written: String, typed: typedLevel, set });
  const says = element("p", { class: "weigh-meaning", id: `meaning-${name}` }, [share, ` ${meaning}`]);
  made.append(says);
  made.querySelector("input[type=range]")?.setAttribute("aria-describedby", says.id);
  return {
    element: made,
    show: (level, thousandths) => {
      dial.show(level);
      const counts = `Counts ${percent(thousandths / 1000)}.`;
      if (share.textContent !== counts) share.textContent = counts;
    },
  };
}
