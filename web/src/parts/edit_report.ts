// What came of a check or a save, above the buttons: faults with what would be right, notes, or that it
// is not known.
import type { Finding } from "../wire/findings.ts";
import { columnWords } from "../core/why_words.ts";
import { element } from "./element.ts";

export interface Report {
  readonly element: HTMLElement;
  /** Something is under way, or went well. */
  readonly say: (words: string, findings?: readonly Finding[]) => void;
  /** Something is to be put right. */
  readonly warn: (words: string, findings?: readonly Finding[]) => void;
}

export function makeReport(): Report {
  const calm = element("div", { class: "edit-report", role: "status" });
  const loud = element("div", { class: "edit-report edit-trouble", role: "alert" });
  const fill = (into: HTMLElement, words: string, findings: readonly Finding[]): void =>
    into.replaceChildren(...(words ? [element("p", {}, [words])] : []), ...(findings.length ? [findingList(findings)] : []));
  return {
    element: element("div", { class: "edit-said" }, [calm, loud]),
    say: (words, findings = []) => {
      fill(loud, "", []);
      fill(calm, words, findings);
    },
    warn: (words, findings = []) => {
      fill(calm, "", []);
      fill(loud, words, findings);
    },
  };
}

export function findingList(findings: readonly Finding[]): HTMLElement {
  return element("ul", { class: "edit-findings" }, findings.map((each) => element("li", {}, [findingWords(each)])));
}

/** A place has no word of its own in the contract but its technical one. */
function placeOr(column: string): string {
  return column === "geometry" ? "place (geometry)" : columnWords(column);
}

/** "offtakes B-031, pump head m 3000: ..." */
export function findingWords({ table, key, column, value, remedy }: Finding): string {
  const place = [`${table} ${key}`.trim(), column ? placeOr(column) : ""].filter(Boolean).join(", ");
  return `${place}${value ? ` ${value}` : ""}: ${remedy}`;
}
