// A stop dragged by its handle to another place, in its day or another: mouse, pen or finger. Escape leaves it
// where it was.
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { Spot } from "../core/visit_order.ts";

/** So close to the edge of what scrolls, it scrolls along. */
const EDGE_PX = 48;
const STEP_PX = 12;
const MARKS = ["visit-before", "visit-behind"] as const;

export function dragStops(list: HTMLElement, drop: (code: string, to: Spot) => void): Dispose {
  let dragged: HTMLElement | null = null;
  let pointer = 0;
  let to: Spot | null = null;

  function begin(event: PointerEvent): void {
    const handle = (event.target as Element).closest(".visit-handle");
    const item = handle?.closest<HTMLElement>("[data-code]");
    if (!item || event.button !== 0) return;
    event.preventDefault();
    [dragged, pointer, to] = [item, event.pointerId, null];
    list.setPointerCapture(pointer);
    item.classList.add("visit-dragged");
    list.classList.add("visit-dragging");
    document.addEventListener("keydown", leave, true);
  }

  function move(event: PointerEvent): void {
    if (!dragged || event.pointerId !== pointer) return;
    scrollAlong(event.clientY);
    to = spotAt(event.clientY);
    mark(to);
  }

  function spotAt(y: number): Spot | null {
    const days = [...list.querySelectorAll<HTMLElement>(".visit-stops")];
    const away = (each: HTMLElement): number => {
      const { top, bottom } = (each.closest(".visit-day") ?? each).getBoundingClientRect();
      return y < top ? top - y : Math.max(0, y - bottom);
    };
    const nearest = days.reduce<HTMLElement | null>((best, each) => (best && away(best) <= away(each) ? best : each), null);
    if (!nearest) return null;
    const at = [...nearest.children].filter((each) => {
      const { top, height } = each.getBoundingClientRect();
      return top + height / 2 < y;
    }).length;
    return { day: Number(nearest.dataset["day"]), at };
  }

  function mark(spot: Spot | null): void {
    unmark();
    if (!spot) return;
    const stops = list.querySelector<HTMLElement>(`.visit-stops[data-day="${spot.day}"]`);
    const [next, before] = [stops?.children[spot.at], stops?.children[spot.at - 1]];
    if (next) next.classList.add(MARKS[0]);
    else (before ?? stops)?.classList.add(MARKS[1]);
  }

  function unmark(): void {
    for (const each of list.querySelectorAll(MARKS.map((name) => `.${name}`).join())) each.classList.remove(...MARKS);
  }

  function scrollAlong(y: number): void {
    const box = list.closest<HTMLElement>(".data-body");
    if (!box) return;
    const { top, bottom } = box.getBoundingClientRect();
    if (y < top + EDGE_PX) box.scrollTop -= STEP_PX;
    if (y > bottom - EDGE_PX) box.scrollTop += STEP_PX;
  }

  function end(): { readonly code: string; readonly spot: Spot | null } {
    const told = { code: dragged?.dataset["code"] ?? "", spot: to };
    document.removeEventListener("keydown", leave, true);
    if (dragged && list.hasPointerCapture(pointer)) list.releasePointerCapture(pointer);
    dragged?.classList.remove("visit-dragged");
    list.classList.remove("visit-dragging");
    unmark();
    [dragged, to] = [null, null];
    return told;
  }

  function put(event: PointerEvent): void {
    if (!dragged || event.pointerId !== pointer) return;
    const { code, spot } = end();
    if (spot) drop(code, spot);
  }

  function leave(event: KeyboardEvent): void {
    if (event.key !== "Escape") return;
    event.stopPropagation();
    end();
  }

  return together([
    listen(list, "pointerdown", begin),
    listen(list, "pointermove", move),
    listen(list, "pointerup", put),
    listen(list, "pointercancel", () => void end()),
    () => void end(),
  ]);
}
