// "18 notes on the data": opens what is odd in the data, though not wrong, in a small window of its own.
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { Scene } from "../core/scene.ts";
import { columnWords } from "../core/why_words.ts";
import { type Finding, fetchFindings } from "../wire/findings.ts";
import { element } from "./element.ts";

/** They are for the agency: the public is told as much. */
export function mountDataNotes(host: HTMLElement, { facts, offtakes }: Scene): Dispose {
  const count = facts.warnings === 1 ? "1 note on the data" : `${facts.warnings || "No"} notes on the data`;
  if (!facts.warnings || offtakes.viewer === "public") {
    host.append(offtakes.viewer === "public" ? "Notes are for the agency" : count);
    return () => host.replaceChildren();
  }
  const opener = element("button", { type: "button", class: "quiet notes-button" }, [count]);
  const shut = element("button", { type: "button", class: "strip-button" }, ["Close"]);
  const list = element("div", { class: "notes-list", tabindex: 0, role: "region", "aria-label": "Notes" });
  const notes = element("dialog", { class: "help notes", "aria-label": "Notes on the data" }, [
    element("h2", {}, ["Notes on the data"]),
    element("p", {}, ["Odd, though not wrong: the numbers are worked out with them as they stand."]),
    list,
    shut,
  ]);
  host.append(opener, notes);
  const leaving = new AbortController();

  function open(): void {
    if (!list.querySelector("table")) list.replaceChildren("Reading the notes…");
    notes.showModal();
    fetchFindings(offtakes.viewer, leaving.signal).then(
      ({ warnings }) => list.replaceChildren(table(warnings)),
      (error: unknown) => list.replaceChildren(error instanceof Error ? error.message : "The notes cannot be read."),
    );
  }

  return together([
    listen(opener, "click", open),
    listen(shut, "click", () => notes.close()),
    () => leaving.abort(),
    () => host.replaceChildren(),
  ]);
}

function table(findings: readonly Finding[]): HTMLElement {
  const rows = findings.map(({ table, key, column, value, remedy }) =>
    element("tr", {}, [
      element("th", { scope: "row" }, [key || table]),
      element("td", {}, [`${columnWords(column)}${value ? ` ${value}` : ""}`]),
      element("td", {}, [remedy]),
    ]),
  );
  return element("table", { class: "why-table" }, [
    element("thead", {}, [element("tr", {}, ["Where", "What", "Note"].map((head) => element("th", { scope: "col" }, [head])))]),
    element("tbody", {}, rows),
  ]);
}
