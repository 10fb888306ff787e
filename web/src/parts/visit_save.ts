// Saves the days as a run: a name, the date of the first day, whose days they are. A run that is open takes
// the order it was moved to.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { Sender } from "../core/edit_send.ts";
import type { VisitsKept } from "../core/visits_kept.ts";
import { isA, me } from "../wire/me.ts";
import { type Run, type RunAsked, type RunPlan, saveOrder, saveRun } from "../wire/visits.ts";
import { keptName } from "./edit_grounds.ts";
import { element } from "./element.ts";
import { formField, wordsOf } from "./form_field.ts";

export interface SaveWays {
  readonly saved: (words: string) => void;
  /** Time of day: "08:00". */
  readonly leaving: () => string;
}

export function mountVisitSave(host: HTMLElement, kept: VisitsKept, { saved, leaving }: SaveWays): Dispose {
  const name = formField("visit-name", "Name of the run", { maxlength: 120, autocomplete: "off" });
  const on = formField("visit-on", "First day", { type: "date" });
  const officer = formField("visit-officer", "Whose days they are", { maxlength: 120, autocomplete: "off" }, me().accounts ? "the name of an account; that person finds the run on the phone" : "");
  const go = element("button", { type: "submit", class: "strip-button edit-save" }, ["Save as a run"]);
  const told = element("p", { class: "edit-wrong", role: "alert" });
  const form = element("form", { class: "visit-save", novalidate: "", "aria-label": "Save these days as a run" }, [
    element("h4", {}, ["Save as a run"]),
    element("div", { class: "edit-fields" }, [name.element, on.element, officer.element]),
    element("div", { class: "edit-buttons" }, [go]),
  ]);
  const again = element("button", { type: "button", class: "strip-button edit-save" }, ["Save the new order"]);
  const shell = element("div", {}, [form, again, told]);
  host.append(shell);
  on.input.value = tomorrow();
  officer.input.value = keptName();
  if (me().name && !isA("lead")) officer.input.readOnly = true;
  const sender = new Sender<Omit<RunAsked, "id">, Run>((asked) => saveRun(asked));

  function show(): void {
    const { now } = kept;
    const has = now !== null && now.order.some(({ length }) => length);
    form.hidden = !has || now.run !== null;
    again.hidden = !now?.run || !kept.isMoved;
    for (const button of [go, again]) button.disabled = kept.stale;
  }

  function planOf(): RunPlan {
    const { now } = kept;
    return now ? { asked: now.asked, start: now.start, used_roads: now.told.used_roads, leaving: leaving() } : {};
  }

  async function send(): Promise<void> {
    const { now } = kept;
    if (!now || kept.stale || go.disabled) return;
    if (!name.input.value.trim()) return name.refuse("Give it a name: it stands on the sheet and the phone.");
    if (!/^\d{4}-\d\d-\d\d$/.test(on.input.value)) return on.refuse("The date of the first day.");
    go.disabled = true;
    told.textContent = "";
    const who = officer.input.value.trim();
    const sent = await sender.send({ name: name.input.value.trim(), on: on.input.value, officer: who, days: now.told.days, plan: planOf(), ...(keptName() ? { by: keptName() } : {}) });
    go.disabled = false;
    if (sent.state === "done") {
      kept.saved(sent.done);
      saved(`${sent.done.name} is saved.`);
    } else told.textContent = sent.state === "refused" ? wordsOf(sent.error, "It cannot be saved.") : "No answer came, so it is not known whether it was saved. Save it again: it will not be done twice.";
  }

  async function reorder(): Promise<void> {
    const { now } = kept;
    if (!now?.run) return;
    again.disabled = true;
    told.textContent = "";
    try {
      kept.saved(await saveOrder(now.run.id, { days: now.told.days, plan: planOf() }));
      saved(`The new order of ${now.run.name} is saved.`);
    } catch (error) {
      told.textContent = wordsOf(error, "It cannot be saved.");
      again.disabled = false;
    }
  }

  show();
  return together([
    kept.onChange(show),
    listen(form, "submit", (event) => {
      event.preventDefault();
      void send();
    }),
    listen(again, "click", () => void reorder()),
    () => shell.remove(),
  ]);
}

function tomorrow(): string {
  const day = new Date();
  day.setDate(day.getDate() + 1);
  return [day.getFullYear(), day.getMonth() + 1, day.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
}
