// One criterion's card: its slider and what it counts; a typed level that cannot be taken is said to be none.
import { percent } from "../core/numbers.ts";
import { type Dial, mountDial } from "../parts/dial.ts";
import { element } from "../parts/element.ts";
import { LEVEL_SCALE, typedLevel } from "./mine.ts";
import type { Criterion } from "./wire.ts";

export interface OneCriterion {
  readonly element: HTMLElement;
  readonly show: (level: number, thousandths: number) => void;
}

/** `move` gives what is to be told of it. */
export function makeCriterion({ name, label, meaning }: Criterion, move: (level: number) => string): OneCriterion {
  const share = element("strong", { class: "weigh-share" });
  const made = element("div", { class: "weigh", "data-criterion": name });
  const words = { name: label, less: `${label}: one less`, more: `${label}: one more`, unit: `of ${LEVEL_SCALE.most}` };
  const told = element("p", { class: "told", role: "status" });
  let [now, refused] = [0, ""];

  /** What cannot be taken leaves the level as it is, which puts the box back, and says so. */
  const typed = (text: string): number => {
    const level = typedLevel(text);
    refused = level === null ? refusedWords(text.trim(), now) : "";
    return level ?? now;
  };
  const set = (level: number): void => {
    told.textContent = refused || move(level);
    refused = "";
  };
  const dial: Dial = mountDial(made, words, { scale: LEVEL_SCALE, written: String, typed, set });
  const says = element("p", { class: "weigh-meaning", id: `meaning-${name}` }, [share, ` ${meaning}`]);
  made.append(told, says);
  made.querySelector("input[type=range]")?.setAttribute("aria-describedby", says.id);
  return {
    element: made,
    show: (level, thousandths) => {
      now = level;
      dial.show(level);
      const counts = `Counts ${percent(thousandths / 1000)}.`;
      if (share.textContent !== counts) share.textContent = counts;
    },
  };
}

function refusedWords(text: string, now: number): string {
  return `${text === "" ? "An empty box" : `“${text}”`} is no whole number from ${LEVEL_SCALE.least} to ${LEVEL_SCALE.most}: this stays at ${now}.`;
}
