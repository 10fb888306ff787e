// The ranked list: inside the money first, then the budget line, then the rest. Only rows near enough
// to be seen exist; the row that holds the focus always does.
import { type Choice, NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { LINE, type Listing, listingOf } from "../core/listing.ts";
import { bestLine } from "../core/fund_words.ts";
import { budgetLine } from "../core/sentences.ts";
import { scrollTo, visibleSpan } from "../core/window.ts";
import { listColumns } from "./columns.ts";
import { element } from "./element.ts";
import { placeAfterKey } from "./list_keys.ts";
import { type ListRow, makeListHead, makeListRow } from "./list_row.ts";
import { scrollOf } from "./list_scroll.ts";

const HEAD_ROWS = 1;
export interface RankedList {
  /** Shows where the budget ends, and puts the focus there. */
  readonly goToLine: () => void;
  /** Shows what is selected, after the list was out of sight. */
  readonly reveal: () => void;
  readonly dispose: Dispose;
}

export function mountRankedList(host: HTMLElement, desk: Desk): RankedList {
  const { scene, chosen, outcome, losses, trial } = desk;
  const columns = listColumns(desk);
  let listing = listNow();
  const count = listing.rowAt.length;
  const head = makeListHead(desk, columns);
  const body = element("div", { role: "rowgroup", class: "list-body" });
  const grid = element(
    "div",
    { role: "grid", class: listClass(desk), "aria-label": "Offtakes in order of rank", "aria-rowcount": count + HEAD_ROWS, "aria-colcount": columns.length },
    [element("div", { role: "rowgroup", class: "list-head" }, [head.element]), body],
  );
  host.append(grid);
  const scroll = scrollOf(grid, head.element.parentElement ?? head.element, body);
  const shown = new Map<number, ListRow>();
  let active = listing.rowAt[0] === LINE && count > 1 ? 1 : 0;
  let rowHeight = measure();

  function listNow(): Listing {
    return listingOf(outcome.now.order, outcome.now.inside, outcome.now.spent !== null);
  }

  function lineWords(): string {
    const { now } = outcome;
    return now.way === "best" ? bestLine(now, scene.facts.currency) : budgetLine(now, trial.now.budget ?? 0, scene.facts.currency);
  }

  function measure(): number {
    const height = parseFloat(getComputedStyle(body).minHeight) || 40;
    body.style.height = `${height * count}px`;
    return height;
  }

  function render(): void {
    const span = visibleSpan(scroll.top(), scroll.height(), rowHeight, count);
    for (const [place, row] of shown) {
      if ((place < span.first || place >= span.end) && place !== active) {
        row.element.remove();
        shown.delete(place);
      }
    }
    for (let place = span.first; place < span.end; place += 1) add(place);
    if (count) add(active);
  }

  function add(place: number): void {
    if (shown.has(place)) return;
    const row = makeListRow(desk, columns, place, lineWords);
    row.fill(listing.rowAt[place] ?? LINE);
    row.element.style.transform = `translateY(${place * rowHeight}px)`;
    dress(row, place, chosen.now);
    shown.set(place, row);
    const next = [...shown.keys()].filter((other) => other > place).sort((a, b) => a - b)[0];
    body.insertBefore(row.element, next === undefined ? null : (shown.get(next)?.element ?? null));
  }

  function dress({ element: row }: ListRow, place: number, now: Choice): void {
    const offtake = listing.rowAt[place] ?? LINE;
    row.setAttribute("aria-selected", String(offtake !== LINE && offtake === now.selected));
    row.classList.toggle("hovered", offtake !== LINE && offtake === now.hovered);
    row.tabIndex = place === active ? 0 : -1;
  }

  /** Says everything anew where it stands; the focus stays with the offtake that has it. */
  function refill(): void {
    const held = body.contains(document.activeElement);
    const offtake = listing.rowAt[active] ?? LINE;
    listing = listNow();
    head.fill();
    if (held && offtake !== LINE) activate(listing.placeOf[offtake] ?? 0, true);
    for (const [place, row] of shown) {
      row.fill(listing.rowAt[place] ?? LINE);
      dress(row, place, chosen.now);
    }
  }

  function refillNumbers(): void {
    head.fill();
    for (const [place, row] of shown) row.fill(listing.rowAt[place] ?? LINE);
  }

  function activate(place: number, focus: boolean): void {
    const before = shown.get(active);
    if (before) before.element.tabIndex = -1;
    active = place;
    scroll.to(scrollTo(place, scroll.top(), scroll.height(), rowHeight), !focus);
    render();
    const row = shown.get(place);
    if (!row) return;
    row.element.tabIndex = 0;
    if (focus) row.element.focus({ preventScroll: true });
  }

  function offtakeAt(target: EventTarget | null): number {
    const row = (target as Element | null)?.closest<HTMLElement>("[data-place]");
    const offtake = row ? listing.rowAt[Number(row.dataset["place"])] : undefined;
    return offtake === undefined || offtake === LINE ? NONE : offtake;
  }

  function pressed(event: KeyboardEvent): void {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const page = Math.max(1, Math.floor(scroll.height() / rowHeight) - 1);
    const place = placeAfterKey(event.key, active, count, page);
    if (place !== null) activate(place, true);
    else if (event.key === "Enter" || event.key === " ") chosen.select(offtakeAt(shown.get(active)?.element ?? null), "list");
    else if (event.key === "Escape") chosen.select(NONE, "list");
    else return;
    event.preventDefault();
  }

  function fit(): void {
    const height = measure();
    if (height !== rowHeight) {
      rowHeight = height;
      for (const [place, row] of shown) row.element.style.transform = `translateY(${place * height}px)`;
    }
    render();
  }

  const resized = new ResizeObserver(fit);
  resized.observe(grid);
  render();

  const dispose = together([
    scroll.onScroll(render),
    listen(body, "keydown", pressed),
    listen(body, "click", (event) => {
      const offtake = offtakeAt(event.target);
      if (offtake === NONE) return;
      activate(listing.placeOf[offtake] ?? 0, true);
      chosen.select(offtake, "list");
    }),
    listen(body, "mouseover", (event) => chosen.hover(offtakeAt(event.target), "list")),
    listen(body, "mouseleave", () => chosen.hover(NONE, "list")),
    listen(body, "focusin", (event) => chosen.hover(offtakeAt(event.target), "list")),
    listen(body, "focusout", () => chosen.hover(NONE, "list")),
    chosen.onChange((now, before) => {
      const moved = now.selected !== before.selected && now.selected !== NONE;
      if (moved && now.origin !== "list") activate(listing.placeOf[now.selected] ?? 0, now.origin === "search");
      for (const [place, row] of shown) dress(row, place, now);
    }),
    outcome.onChange(refill),
    losses.onChange(refillNumbers),
    desk.fund?.howSure.onChange(refillNumbers) ?? (() => undefined),
    trial.onChange((now, before) => {
      if (now.unit !== before.unit || now.trialsListed !== before.trialsListed) refillNumbers();
      if (now.theme !== before.theme) requestAnimationFrame(fit);
    }),
    () => {
      resized.disconnect();
      grid.remove();
    },
  ]);
  return {
    dispose,
    reveal: () => {
      fit();
      if (chosen.now.selected !== NONE) activate(listing.placeOf[chosen.now.selected] ?? 0, false);
    },
    goToLine: () => {
      const line = listing.rowAt.indexOf(LINE);
      if (line < 0) return;
      scroll.to((line + 0.5) * rowHeight - scroll.height() / 2);
      activate(line, true);
    },
  };
}

/** Not everyone may see the capacity, and only the lead the other way to spend. */
function listClass({ scene, fund }: Desk): string {
  return `list${scene.offtakes.capacity_m3s ? "" : " list-short"}${fund ? " list-ways" : ""}`;
}
