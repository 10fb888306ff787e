// The days of a run, stop by stop, and how their order is moved: by buttons, or by dragging.
import { type Dispose, together } from "../core/dispose.ts";
import { type Days, moved, stepped, toDay, without } from "../core/visit_order.ts";
import { clock, dayGlance, kilometres, lasting } from "../core/visit_words.ts";
import type { VisitsKept } from "../core/visits_kept.ts";
import { element } from "./element.ts";
import { dragStops } from "./visit_drag.ts";
import { stopItem } from "./visit_stop.ts";

export interface VisitDaysWays {
  /** Time of day one leaves at. */
  readonly leaving: () => string;
  readonly show: (code: string) => void;
  readonly point: (code: string) => void;
}

export function mountVisitDays(host: HTMLElement, kept: VisitsKept, { leaving, show, point }: VisitDaysWays): Dispose {
  const said = element("p", { class: "unseen", role: "status" });
  const trouble = element("div", { class: "visit-trouble" });
  const list = element("div", { class: "visit-days" });
  host.append(said, trouble, list);
  let drawn = "";

  function move(order: Days, code: string, act = ""): void {
    kept.move(order);
    const day = kept.now?.order.findIndex((codes) => codes.includes(code)) ?? -1;
    const at = kept.now?.order[day]?.indexOf(code) ?? -1;
    said.textContent = at < 0 ? `${code} is taken out.` : `${code}: stop ${at + 1} of day ${day + 1}.`;
    const item = list.querySelector(`[data-code="${CSS.escape(code)}"]`);
    const again = item?.querySelector<HTMLElement>(`[data-act="${act}"]:not(:disabled)`);
    if (act) (again ?? item?.querySelector<HTMLElement>(".visit-code") ?? list.querySelector<HTMLElement>(".visit-code"))?.focus();
  }

  function draw(): void {
    const { now } = kept;
    showTrouble();
    const key = JSON.stringify(now && [now.order, now.told.days, kept.stale, leaving(), now.first]);
    if (key === drawn) return;
    drawn = key;
    const held = heldIn(list);
    list.replaceChildren(...(now?.order ?? []).map((codes, day) => dayPart(codes, day)));
    if (kept.isMoved) list.append(backButton());
    held(list);
  }

  function dayPart(codes: readonly string[], day: number): HTMLElement {
    const { now } = kept;
    const [told, minutes] = [now?.told.days[day], now?.asked.days[day]?.minutes ?? 0];
    const stale = kept.stale ? " stale" : "";
    const days = now?.order.length ?? 1;
    const items = codes.map((code, at) =>
      stopItem({ code, day, at, days, isLast: at === codes.length - 1, stop: kept.stop(code), stale: kept.stale, leaving: leaving() }, {
        show, point,
        step: (by) => move(stepped(now?.order ?? [], code, by), code, by < 0 ? "up" : "down"),
        toDay: (other) => move(toDay(now?.order ?? [], code, other), code, "day"),
        takeOut: () => move(without(now?.order ?? [], code), code, "out"),
      }),
    );
    const back = told && codes.length && told.back_min !== undefined ? `Back at ${clock(leaving(), told.minutes)}, after ${lasting(told.back_min)} and ${kilometres(told.back_km ?? 0)}.` : "";
    return element("section", { class: "visit-day", "aria-labelledby": `visit-day-${day}` }, [
      element("h4", { id: `visit-day-${day}` }, [`Day ${day + 1} `, element("span", { class: `visit-day-glance${stale}` }, [told ? dayGlance(told, minutes) : ""])]),
      element("ol", { class: "visit-stops", "data-day": day }, items),
      ...(back ? [element("p", { class: `why-note${stale}` }, [back])] : []),
    ]);
  }

  function backButton(): HTMLElement {
    const back = element("button", { type: "button", class: "strip-button", "data-act": "back" }, [kept.now?.run ? "Back to the order as saved" : "Back to the order as planned"]);
    back.addEventListener("click", () => {
      kept.move(kept.now?.first ?? []);
      said.textContent = "The order is as it came.";
      document.getElementById("visit-glance")?.focus();
    });
    return back;
  }

  function showTrouble(): void {
    const { state, trouble: wrong } = kept.ordering.now;
    const told = state === "failed" ? (wrong?.message ?? "The times cannot be worked out.") : "";
    if (trouble.dataset["told"] === told) return;
    trouble.dataset["told"] = told;
    const again = element("button", { type: "button", class: "strip-button" }, ["Try again"]);
    again.addEventListener("click", () => kept.retime());
    trouble.replaceChildren(...(told ? [element("div", { class: "work-wrong", role: "alert" }, [element("p", {}, [`The times are those before: ${told}`]), again])] : []));
  }

  draw();
  return together([
    kept.onChange(draw),
    dragStops(list, (code, to) => move(moved(kept.now?.order ?? [], code, to), code)),
    () => {
      said.remove();
      trouble.remove();
      list.remove();
    },
  ]);
}

/** Puts the focus where it was, on what was drawn anew. */
function heldIn(list: HTMLElement): (list: HTMLElement) => void {
  const active = document.activeElement;
  if (!(active instanceof HTMLElement) || !list.contains(active)) return () => undefined;
  const code = active.closest<HTMLElement>("[data-code]")?.dataset["code"] ?? "";
  const act = active.dataset["act"] ?? "";
  return (drawn) => {
    const item = drawn.querySelector(`[data-code="${CSS.escape(code)}"]`) ?? drawn;
    const target = item.querySelector<HTMLElement>(`[data-act="${act}"]:not(:disabled)`) ?? item.querySelector<HTMLElement>("button:not(:disabled)");
    target?.focus({ preventScroll: true });
  };
}
