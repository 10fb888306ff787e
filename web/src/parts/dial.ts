// One number set four ways: a slider by pointer, its keys, two buttons, a box to type in. All of
// them lead to the same states.
import { afterKey, nudged, type Scale, snapped } from "../core/dials.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "./element.ts";

export interface DialWords {
  readonly name: string;
  readonly less: string;
  readonly more: string;
  /** Stands after the box. */
  readonly unit: string;
}

export interface Dial {
  readonly show: (value: number) => void;
  readonly dispose: Dispose;
}

export interface DialWays {
  readonly scale: Scale;
  readonly written: (value: number) => string;
  readonly typed: (text: string) => number | null;
  /** `going`: one movement with the value before, by a drag or a key that is held. */
  readonly set: (value: number, going: boolean) => void;
}

export function mountDial(host: HTMLElement, words: DialWords, ways: DialWays): Dial {
  const { scale, written, typed, set } = ways;
  let now = NaN;
  let dragged = false;
  let repeated = false;
  const less = button("−", words.less);
  const more = button("+", words.more);
  const slider = element("input", { type: "range", min: scale.least, max: scale.most, step: "any", "aria-label": words.name });
  const box = element("input", { type: "text", inputmode: "decimal", class: "dial-box", autocomplete: "off", "aria-label": `${words.name}, ${words.unit}` });
  const row = element("div", { class: "dial", role: "group", "aria-label": words.name }, [
    element("span", { class: "dial-name", "aria-hidden": "true" }, [words.name]),
    less,
    slider,
    more,
    box,
    element("span", { class: "dial-unit", "aria-hidden": "true" }, [words.unit]),
  ]);
  host.append(row);

  function show(value: number): void {
    if (value === now) return;
    now = value;
    slider.value = String(value);
    slider.style.setProperty("--filled", `${(100 * (value - scale.least)) / (scale.most - scale.least || 1)}%`);
    slider.setAttribute("aria-valuetext", `${written(value)} ${words.unit}`);
    box.value = written(value);
    box.removeAttribute("aria-invalid");
  }

  /** Puts back what holds where nothing moved: a slider between steps, a box with words in it. */
  function settle(value: number): void {
    set(Math.min(scale.most, Math.max(scale.least, value)), dragged || repeated);
    const held = now;
    now = NaN;
    show(held);
  }

  function take(): void {
    const value = typed(box.value);
    if (value === null) box.setAttribute("aria-invalid", "true");
    else if (box.value !== written(now)) settle(value);
  }

  const dispose = together([
    listen(less, "click", () => settle(nudged(now, -1, scale))),
    listen(more, "click", () => settle(nudged(now, 1, scale))),
    listen(row, "keydown", (event) => (repeated = event.repeat), { capture: true }),
    listen(row, "keyup", () => (repeated = false)),
    listen(slider, "input", () => {
      settle(snapped(Number(slider.value), scale));
      dragged = true;
    }),
    listen(slider, "change", () => (dragged = false)),
    listen(slider, "keydown", (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const value = afterKey(event.key, now, scale);
      if (value === null) return;
      event.preventDefault();
      settle(value);
    }),
    listen(box, "change", take),
    listen(box, "keydown", (event) => {
      if (event.key === "Enter") take();
    }),
    () => row.remove(),
  ]);
  return { show, dispose };
}

function button(sign: string, words: string): HTMLButtonElement {
  return element("button", { type: "button", class: "dial-button", "aria-label": words }, [sign]);
}
