// Whether single letters act as keys (WCAG 2.1.4): a switch that is kept on this machine.
import { type Dispose, listen } from "../core/dispose.ts";
import { element } from "./element.ts";

/** A checkbox that says and keeps it, under a name of its own for each kind of page. */
export function singleKeys(keptAs: string): { readonly box: HTMLInputElement; readonly dispose: Dispose } {
  const box = element("input", { type: "checkbox" });
  box.checked = readKept(keptAs);
  return { box, dispose: listen(box, "change", () => keep(keptAs, box.checked)) };
}

function readKept(keptAs: string): boolean {
  try {
    return localStorage.getItem(keptAs) !== "off";
  } catch {
    return true; // a browser that keeps nothing
  }
}

function keep(keptAs: string, on: boolean): void {
  try {
    localStorage.setItem(keptAs, on ? "on" : "off");
  } catch {
    // it holds until the page is left
  }
}
