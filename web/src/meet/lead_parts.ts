// Small parts that the facilitator's page is made of.
import { element } from "../parts/element.ts";
import type { Lead } from "./told.ts";

export interface LeadPart {
  readonly element: HTMLElement;
  readonly show: (lead: Lead) => void;
}

/** Says it once: what has not changed is not read out again. */
export function say(where: HTMLElement, words: string): void {
  if (where.textContent !== words) where.textContent = words;
}

export function button(words: string, kind: string, press: () => void): HTMLButtonElement {
  const made = element("button", { type: "button", class: `lead-button ${kind}`.trim() }, [words]);
  made.addEventListener("click", press);
  return made;
}

/** A part of the page with a heading of its own. */
export function section(id: string, title: string, children: readonly (Node | string)[]): HTMLElement {
  return element("section", { class: `lead-section lead-${id}`, "aria-labelledby": `lead-${id}` }, [element("h2", { id: `lead-${id}` }, [title]), ...children]);
}

/** A button that cannot act now stays where it is and says why beside it. */
export function allow(made: HTMLButtonElement, may: boolean): void {
  if (may) made.removeAttribute("aria-disabled");
  else made.setAttribute("aria-disabled", "true");
}

export const isAllowed = (made: HTMLButtonElement): boolean => made.getAttribute("aria-disabled") !== "true";

/** Rows are made again only where what they say has changed. */
export function whenChanged<Value>(make: (value: Value) => void): (value: Value) => void {
  let before = "";
  return (value) => {
    const now = JSON.stringify(value);
    if (now === before) return;
    before = now;
    make(value);
  };
}
