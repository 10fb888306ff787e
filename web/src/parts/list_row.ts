// One place of the list: an offtake's row, or the line where the budget ends. Rows are filled anew in
// place, so that a weight can be dragged while the list follows.
import type { Desk } from "../core/desk.ts";
import { LINE } from "../core/listing.ts";
import { riskStep } from "../core/risk.ts";
import { standingWord } from "../core/standing.ts";
import { handReason, type ListColumn } from "./columns.ts";
import { element } from "./element.ts";
import { markWords, signClass } from "./mark_sign.ts";

const HEAD_ROWS = 1;

export interface ListRow {
  readonly element: HTMLElement;
  /** Shows an offtake row, or LINE. */
  readonly fill: (row: number) => void;
}

export function makeListRow(desk: Desk, columns: readonly ListColumn[], place: number, lineWords: () => string): ListRow {
  const made = element("div", { role: "row", class: "row", "aria-rowindex": place + 1 + HEAD_ROWS, "data-place": place });
  const sign = element("span", { role: "img" });
  const cells = columns.map(({ name }, at) => {
    const words = document.createTextNode("");
    const cell = element("div", { role: "gridcell", class: `cell cell-${name}`, "aria-colindex": at + 1 }, name === "risk" ? [sign, words] : [words]);
    return { cell, words };
  });
  const line = element("div", { role: "gridcell", class: "line-words", "aria-colspan": columns.length });
  const word = cells[columns.findIndex(({ name }) => name === "code")]?.cell;
  let isLine: boolean | null = null;

  function fill(row: number): void {
    const wanted = row === LINE;
    if (wanted !== isLine) {
      isLine = wanted;
      made.classList.toggle("row-line", wanted);
      made.replaceChildren(...(wanted ? [line] : cells.map(({ cell }) => cell)));
    }
    const { now } = desk.outcome;
    if (wanted) {
      setText(line, lineWords());
      line.classList.toggle("stale", now.stale);
      return;
    }
    const mark = now.marks[row] ?? 0;
    const signed = signClass(mark, riskStep(desk.losses.now.risk[row] ?? 0));
    if (sign.className !== signed) {
      sign.className = signed;
      if (now.spent === null) sign.setAttribute("aria-hidden", "true");
      else sign.setAttribute("aria-label", markWords(mark));
    }
    if (word) {
      const stands = standingWord(desk.scene.offtakes, row);
      if (stands) word.dataset["word"] = stands;
      else delete word.dataset["word"];
    }
    const reason = handReason(desk, row);
    if (made.title !== reason) made.title = reason;
    columns.forEach(({ name, text, ofView, ofSet }, at) => {
      const { words, cell } = cells[at] ?? {};
      if (!words || !cell) return;
      const said = text(row);
      if (words.data !== said) words.data = said;
      if (name === "option" && cell.title !== said) cell.title = said;
      if (ofView) cell.classList.toggle("stale", desk.losses.now.stale);
      if (ofSet) cell.classList.toggle("stale", now.stale && now.best !== null);
    });
  }

  return { element: made, fill };
}

export interface ListHead {
  readonly element: HTMLElement;
  /** Says units and whose loss as they are now. */
  readonly fill: () => void;
}

export function makeListHead(desk: Desk, columns: readonly ListColumn[]): ListHead {
  const titles = columns.map(() => element("span", { class: "cell-title" }));
  const units = columns.map(() => element("span", { class: "cell-unit" }));
  const cells = columns.map(({ name }, at) =>
    element("div", { role: "columnheader", class: `cell cell-${name}`, "aria-colindex": at + 1 }, [titles[at] ?? "", units[at] ?? ""]),
  );
  const made = element("div", { role: "row", class: "row row-head", "aria-rowindex": 1 }, cells);
  const fill = (): void => {
    columns.forEach(({ title, unit, ofView }, at) => {
      const [head, place] = [titles[at], units[at]];
      if (!head || !place) return;
      setText(head, title());
      setText(place, unit());
      if (ofView) place.classList.toggle("stale", desk.losses.now.stale);
    });
  };
  fill();
  return { element: made, fill };
}

function setText(place: HTMLElement, words: string): void {
  if (place.textContent !== words) place.textContent = words;
}
