// One stop of a run: its number as on the map, when one is there, what to measure, and the buttons that move it.
import { clock, kilometres, lasting, measureWord, stopLabel } from "../core/visit_words.ts";
import { listed } from "../core/sentences.ts";
import type { Stop } from "../wire/visits.ts";
import { element } from "./element.ts";

export interface StopShown {
  readonly code: string;
  readonly day: number;
  readonly at: number;
  readonly days: number;
  readonly isLast: boolean;
  /** Undefined for one that no answer has had yet. */
  readonly stop: Stop | undefined;
  readonly stale: boolean;
  readonly leaving: string;
}

export interface StopWays {
  readonly show: (code: string) => void;
  readonly point: (code: string) => void;
  readonly step: (by: 1 | -1) => void;
  readonly toDay: (day: number) => void;
  readonly takeOut: () => void;
}

export function stopItem({ code, day, at, days, isLast, stop, stale, leaving }: StopShown, ways: StopWays): HTMLElement {
  const name = element("button", { type: "button", class: "quiet visit-code", "data-act": "show", "aria-label": `${code}: show it on the map` }, [code]);
  name.addEventListener("click", () => ways.show(code));
  const item = element("li", { class: "visit-stop", "data-code": code }, [
    element("span", { class: "visit-handle", "aria-hidden": "true", title: "Drag to another place" }, ["⠿"]),
    element("span", { class: "visit-plate", "aria-hidden": "true" }, [stopLabel(day, at, days)]),
    element("div", { class: "visit-about" }, [
      element("p", { class: "visit-line" }, [name, ...(stop ? [element("span", { class: stale ? "stale" : "" }, [timeWords(stop, leaving)])] : [])]),
      ...(stop ? [element("p", { class: "why-note" }, [measureWords(stop)]), ...howToMeasure(stop, code)] : []),
    ]),
    moves(),
  ]);
  item.addEventListener("pointerenter", () => ways.point(code));
  item.addEventListener("pointerleave", () => ways.point(""));
  return item;

  function moves(): HTMLElement {
    const up = mover("up", "↑", `${code}: earlier`, () => ways.step(-1));
    const down = mover("down", "↓", `${code}: later`, () => ways.step(1));
    up.disabled = day === 0 && at === 0;
    down.disabled = day === days - 1 && isLast;
    const out = mover("out", "×", `${code}: take it out`, ways.takeOut);
    return element("div", { class: "visit-moves", role: "group", "aria-label": `Move ${code}` }, [up, down, ...(days > 1 ? [dayChoice()] : []), out]);
  }

  function dayChoice(): HTMLElement {
    const choice = element("select", { class: "text-field visit-to-day", "data-act": "day", "aria-label": `${code}: day` },
      Array.from({ length: days }, (_, each) => element("option", { value: each }, [`day ${each + 1}`])));
    choice.value = String(day);
    choice.addEventListener("change", () => ways.toDay(Number(choice.value)));
    return choice;
  }
}

function mover(act: string, sign: string, label: string, then: () => void): HTMLButtonElement {
  const button = element("button", { type: "button", class: "visit-move", "data-act": act, "aria-label": label }, [sign]);
  button.addEventListener("click", then);
  return button;
}

/** "9:05 to 9:50, after 35 min and 28 km". */
function timeWords({ arrive_min: arrive, leave_min: leave, drive_min: drive, drive_km: km }: Stop, leaving: string): string {
  return `${clock(leaving, arrive)} to ${clock(leaving, leave)}, after ${lasting(drive)} and ${kilometres(km)}`;
}

function measureWords({ measure, must, contact_first: ring }: Stop): string {
  const told = [
    measure.length ? `Measure ${listed(measure.map(({ input }) => measureWord(input)))}.` : "Nothing to measure there could change the set.",
    ...(must ? ["Asked to be seen."] : []),
    ...(ring ? ["Ring first: nobody has said yes yet."] : []),
  ];
  return told.join(" ");
}

function howToMeasure({ measure }: Stop, code: string): HTMLElement[] {
  if (!measure.length) return [];
  return [
    element("details", { class: "visit-fold" }, [
      element("summary", { "data-act": "how", "aria-label": `How to measure at ${code}` }, ["How to measure"]),
      element("ul", { class: "edit-findings" }, measure.map(({ words }) => element("li", {}, [words]))),
    ]),
  ];
}
