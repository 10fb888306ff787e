// One place of the list: an offtake's row, or the line where the budget ends. Rows are filled anew in
// place, so that a weight can be dragged while the list follows.
import type { Desk } from "../core/desk.ts";
import { LINE } from "../core/listing.ts";
import { riskStep } from "../core/risk.ts";
import type { ListColumn } from "./columns.ts";
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
  const cells = columns.map(({ name }) => {
    const words = document.createTextNode("");
    const cell = element("div", { role: "gridcell", class: `cell cell-${name}` }, name === "risk" ? [sign, words] : [words]);
    return { cell, words };
  });
  const line = element("div", { role: "gridcell", class: "line-words", "aria-colspan": columns.length });
  let isLine: boolean | null = null;

  function fill(row: number): void {
    const wanted = row === LINE;
    if (wanted !== isLine) {
      isLine = wanted;
      made.classList.toggle("row-line", wanted);
      made.replaceChildren(...(wanted ? [line] : cells.map(({ cell }) => cell)));
    }
    if (wanted) {
      setText(line, lineWords());
      return;
    }
    const mark = desk.outcome.now.marks[row] ?? 0;
    const signed = signClass(mark, riskStep(desk.losses.now.risk[row] ?? 0));
    if (sign.className !== signed) {
      sign.className = signed;
      if (desk.outcome.now.spent === null) sign.setAttribute("aria-hidden", "true");
      else sign.setAttribute("aria-label", markWords(mark));
    }
    columns.forEach(({ text, ofView }, at) => {
      const { words, cell } = cells[at] ?? {};
      if (!words || !cell) return;
      const said = text(row);
      if (words.data !== said) words.data = said;
      if (ofView) cell.classList.toggle("stale", desk.losses.now.stale);
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
  const units = columns.map(() => element("span", { class: "cell-unit" }));
  const cells = columns.map(({ name, title }, at) =>
    element("div", { role: "columnheader", class: `cell cell-${name}` }, [
      element("span", { class: "cell-title" }, [title]),
      ...(units.slice(at, at + 1)),
    ]),
  );
  const made = element("div", { role: "row", class: "row row-head", "aria-rowindex": 1 }, cells);
  const fill = (): void => {
    columns.forEach(({ unit, ofView }, at) => {
      const place = units[at];
      if (!place) return;
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
