// The ranked list. Only rows near enough to be seen exist; the row that holds the focus always does.
import { type Choice, type Chosen, NONE } from "../core/chosen.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { riskStep } from "../core/risk.ts";
import type { Scene } from "../core/scene.ts";
import { scrollTo, visibleSpan } from "../core/window.ts";
import { type ListColumn, listColumns } from "./columns.ts";
import { element } from "./element.ts";
import { placeAfterKey } from "./list_keys.ts";

const HEAD_ROWS = 1;

export function mountRankedList(host: HTMLElement, scene: Scene, chosen: Chosen): Dispose {
  const columns = listColumns(scene);
  const count = scene.byRank.length;
  const head = headRow(columns);
  const body = element("div", { role: "rowgroup", class: "list-body" });
  const grid = element(
    "div",
    { role: "grid", class: "list", "aria-label": "Offtakes in order of rank", "aria-rowcount": count + HEAD_ROWS, "aria-colcount": columns.length },
    [element("div", { role: "rowgroup", class: "list-head" }, [head]), body],
  );
  host.append(grid);
  const shown = new Map<number, HTMLElement>();
  const placeOf = new Map(scene.byRank.map((row, place) => [row, place]));
  let active = 0;
  let rowHeight = measure();

  function measure(): number {
    const height = parseFloat(getComputedStyle(grid).getPropertyValue("--row-height")) || 40;
    body.style.height = `${height * count}px`;
    return height;
  }

  function viewHeight(): number {
    return grid.clientHeight - head.offsetHeight;
  }

  function render(): void {
    const span = visibleSpan(grid.scrollTop, viewHeight(), rowHeight, count);
    for (const [place, row] of shown) {
      if ((place < span.first || place >= span.end) && place !== active) {
        row.remove();
        shown.delete(place);
      }
    }
    for (let place = span.first; place < span.end; place += 1) add(place);
    if (count) add(active);
  }

  function add(place: number): void {
    if (shown.has(place)) return;
    const row = listRow(scene, columns, place);
    row.style.transform = `translateY(${place * rowHeight}px)`;
    dress(row, place, chosen.now);
    shown.set(place, row);
    const next = [...shown.keys()].filter((other) => other > place).sort((a, b) => a - b)[0];
    body.insertBefore(row, next === undefined ? null : (shown.get(next) ?? null));
  }

  function dress(row: HTMLElement, place: number, now: Choice): void {
    const offtake = scene.byRank[place];
    row.setAttribute("aria-selected", String(offtake === now.selected));
    row.classList.toggle("hovered", offtake === now.hovered);
    row.tabIndex = place === active ? 0 : -1;
  }

  function activate(place: number, focus: boolean): void {
    const before = shown.get(active);
    if (before) before.tabIndex = -1;
    active = place;
    grid.scrollTop = scrollTo(place, grid.scrollTop, viewHeight(), rowHeight);
    render();
    const row = shown.get(place);
    if (!row) return;
    row.tabIndex = 0;
    if (focus) row.focus({ preventScroll: true });
  }

  function offtakeAt(target: EventTarget | null): number {
    const row = (target as Element | null)?.closest<HTMLElement>("[data-place]");
    return row ? (scene.byRank[Number(row.dataset["place"])] ?? NONE) : NONE;
  }

  function pressed(event: KeyboardEvent): void {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const page = Math.max(1, Math.floor(viewHeight() / rowHeight) - 1);
    const place = placeAfterKey(event.key, active, count, page);
    if (place !== null) activate(place, true);
    else if (event.key === "Enter" || event.key === " ") chosen.select(scene.byRank[active] ?? NONE, "list");
    else if (event.key === "Escape") chosen.select(NONE, "list");
    else return;
    event.preventDefault();
  }

  const resized = new ResizeObserver(() => {
    const height = measure();
    if (height !== rowHeight) {
      rowHeight = height;
      for (const [place, row] of shown) row.style.transform = `translateY(${place * height}px)`;
    }
    render();
  });
  resized.observe(grid);
  render();

  return together([
    listen(grid, "scroll", render, { passive: true }),
    listen(body, "keydown", pressed),
    listen(body, "click", (event) => {
      const offtake = offtakeAt(event.target);
      if (offtake === NONE) return;
      activate(placeOf.get(offtake) ?? 0, true);
      chosen.select(offtake, "list");
    }),
    listen(body, "mouseover", (event) => chosen.hover(offtakeAt(event.target), "list")),
    listen(body, "mouseleave", () => chosen.hover(NONE, "list")),
    listen(body, "focusin", (event) => chosen.hover(offtakeAt(event.target), "list")),
    listen(body, "focusout", () => chosen.hover(NONE, "list")),
    chosen.onChange((now, before) => {
      const moved = now.selected !== before.selected && now.selected !== NONE;
      if (moved && now.origin === "map") activate(placeOf.get(now.selected) ?? 0, false);
      for (const [place, row] of shown) dress(row, place, now);
    }),
    () => {
      resized.disconnect();
      grid.remove();
    },
  ]);
}

function headRow(columns: readonly ListColumn[]): HTMLElement {
  const cells = columns.map(({ name, title, unit }) =>
    element("div", { role: "columnheader", class: `cell cell-${name}` }, [
      element("span", { class: "cell-title" }, [title]),
      ...(unit ? [element("span", { class: "cell-unit" }, [unit])] : []),
    ]),
  );
  return element("div", { role: "row", class: "row row-head", "aria-rowindex": 1 }, cells);
}

function listRow(scene: Scene, columns: readonly ListColumn[], place: number): HTMLElement {
  const offtake = scene.byRank[place] ?? 0;
  const cells = columns.map(({ name, text }) => {
    const cell = element("div", { role: "gridcell", class: `cell cell-${name}` });
    if (name === "risk") {
      const step = riskStep(scene.offtakes.risk[offtake] ?? 0) + 1;
      cell.append(element("span", { class: `disc risk-${step}`, "aria-hidden": "true" }));
    }
    cell.append(text(offtake));
    return cell;
  });
  const index = place + 1 + HEAD_ROWS;
  return element("div", { role: "row", class: "row", "aria-rowindex": index, "data-place": place }, cells);
}
