// What is asked of the planner: where days start, how many and how long, time at a site, sites that are seen
// in any case and such that are not, and how fast one drives where no road is known.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { BOUNDS, MIDDLE, MOST_DAYS, type VisitForm, withDays, wrongWith } from "../core/visit_form.ts";
import type { Depot } from "../wire/visits.ts";
import { labelled } from "./edit_grounds.ts";
import { element } from "./element.ts";
import { mountPickedSites } from "./visit_picked.ts";

export interface VisitFormWays {
  readonly codes: readonly string[];
  /** Code of the offtake that is open; "" for none. */
  readonly selected: () => string;
  readonly depots: Promise<readonly Depot[]>;
  readonly now: () => VisitForm;
  readonly keep: (form: VisitForm) => void;
  readonly plan: () => void;
}

export function mountVisitForm(host: HTMLElement, { codes, selected, depots, now, keep, plan }: VisitFormWays): Dispose {
  const depot = element("select", { id: "visit-depot", class: "text-field" });
  const days = numberField("visit-days", { min: 1, max: MOST_DAYS, step: 1 });
  const service = numberField("visit-service", { min: BOUNDS.service.least, max: BOUNDS.service.most, step: 5 });
  const leaving = element("input", { id: "visit-leaving", type: "time", class: "text-field", required: "" });
  const detour = numberField("visit-detour", { min: BOUNDS.detour.least, max: BOUNDS.detour.most, step: 0.1 });
  const speed = numberField("visit-speed", { min: BOUNDS.speed.least, max: BOUNDS.speed.most, step: 5 });
  const hours = element("div", { class: "visit-hours" });
  const wrong = element("p", { id: "visit-wrong", class: "edit-wrong", role: "alert" });
  const picked = element("div", {});
  const go = element("button", { type: "submit", class: "strip-button edit-save" }, ["Plan the days"]);
  const form = element("form", { class: "visit-form", novalidate: "", "aria-label": "What to plan" }, [
    element("div", { class: "edit-fields" }, [
      labelled("Days start and end at", depot),
      labelled("Leaving at", leaving),
      labelled("Days", days),
      labelled("Minutes at each site", service),
      element("fieldset", { class: "edit-field edit-wide visit-lengths" }, [element("legend", {}, ["Hours of each day, from leaving to being back"]), hours]),
    ]),
    picked,
    element("details", { class: "visit-fold" }, [
      element("summary", {}, ["Driving where no road is known"]),
      element("div", { class: "edit-fields" }, [labelled("Times the straight line", detour), labelled("Speed, km/h", speed)]),
    ]),
    wrong,
    element("div", { class: "edit-buttons" }, [go]),
  ]);
  host.append(form);
  let gone = false;

  function showHours(): void {
    const held = hours.querySelectorAll("input").length;
    const wanted = now().hours;
    if (held !== wanted.length) {
      hours.replaceChildren(...wanted.map((_, day) => {
        const input = numberField(`visit-hours-${day}`, { min: BOUNDS.hours.least, max: BOUNDS.hours.most, step: 0.5, "aria-label": `Hours of day ${day + 1}` });
        input.addEventListener("input", () => keep({ ...now(), hours: now().hours.map((each, i) => (i === day ? input.value : each)) }));
        return element("label", { class: "visit-length" }, [element("span", { "aria-hidden": "true" }, [`day ${day + 1}`]), input]);
      }));
    }
    hours.querySelectorAll("input").forEach((input, day) => (input.value = wanted[day] ?? ""));
  }

  function showDepots(known: readonly Depot[]): void {
    const named = known.map(({ name }) => element("option", { value: name }, [name]));
    depot.replaceChildren(...named, element("option", { value: MIDDLE }, ["the middle of the map, as it looks now"]));
    const { depot: chosen } = now();
    depot.value = [...depot.options].some(({ value }) => value === chosen) ? chosen : (known[0]?.name ?? MIDDLE);
  }

  function take(): void {
    keep({ ...now(), service: service.value, leaving: leaving.value || "08:00", detour: detour.value, speed: speed.value });
  }

  /** Says what is wrong, and where; true where nothing is. */
  function check(): boolean {
    const typed = now();
    const all = [
      ...[...hours.querySelectorAll("input")].map((input) => [input, wrongWith("hours", input.value)] as const),
      [service, wrongWith("service", typed.service)] as const,
      [detour, wrongWith("detour", typed.detour)] as const,
      [speed, wrongWith("speed", typed.speed)] as const,
    ];
    for (const [input, words] of all) {
      if (words) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
    const [first] = all.filter(([, words]) => words);
    wrong.textContent = first?.[1] ?? "";
    const fold = first?.[0].closest("details");
    if (fold) fold.open = true;
    first?.[0].focus();
    return !first;
  }

  [days.value, service.value, leaving.value, detour.value, speed.value] = [String(now().hours.length), now().service, now().leaving, now().detour, now().speed];
  for (const each of [service, detour, speed]) each.setAttribute("aria-describedby", wrong.id);
  depot.replaceChildren(element("option", { value: "" }, ["Reading the depots…"]));
  showHours();
  const arrived = (known: readonly Depot[]): void => {
    if (!gone) showDepots(known);
  };
  depots.then(arrived, () => arrived([]));
  const sites = mountPickedSites(picked, { codes, selected, now, keep });
  return together([
    listen(form, "input", take),
    listen(depot, "change", () => keep({ ...now(), depot: depot.value })),
    listen(days, "input", () => {
      const count = Number(days.value);
      if (!(count >= 1 && count <= MOST_DAYS)) return;
      keep(withDays(now(), Math.round(count)));
      showHours();
    }),
    listen(days, "change", () => (days.value = String(now().hours.length))),
    listen(form, "submit", (event) => {
      event.preventDefault();
      take();
      if (check()) plan();
    }),
    sites,
    () => (gone = true),
    () => form.remove(),
  ]);
}

function numberField(id: string, attributes: Readonly<Record<string, string | number>>): HTMLInputElement {
  return element("input", { id, type: "number", class: "text-field", inputmode: "decimal", autocomplete: "off", ...attributes });
}
