// Plan field days: the form, how far the work is, the days that came, and all that is said about them.
import { askedOf } from "../core/asked.ts";
import { NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { askedOfForm, FORM_AT_FIRST, MIDDLE, type VisitForm } from "../core/visit_form.ts";
import { asksWords, gapWords, runGlance, waysWords } from "../core/visit_words.ts";
import type { Place, VisitsKept } from "../core/visits_kept.ts";
import { type Depot, fetchDepots } from "../wire/visits.ts";
import { element } from "./element.ts";
import { mountVisitBeside } from "./visit_beside.ts";
import { mountVisitDays } from "./visit_days.ts";
import { mountVisitForm } from "./visit_form.ts";
import { mountVisitSave } from "./visit_save.ts";
import { mountWorkLine } from "./work_line.ts";

export interface VisitPlanWays {
  /** Opens an offtake on map and list. */
  readonly show: (code: string) => void;
  /** Points at one; "" at none. */
  readonly point: (code: string) => void;
  /** Where the map looks. */
  readonly middle: () => Place;
  readonly reveal: () => void;
  readonly saved: (words: string) => void;
}

/** As it was typed last; it outlives the drawer. */
let typed: VisitForm = FORM_AT_FIRST;
let depotsKnown: Promise<readonly Depot[]> | null = null;

export function mountVisitPlan(host: HTMLElement, desk: Desk, kept: VisitsKept, ways: VisitPlanWays): Dispose {
  const { scene, trial, chosen, outcome } = desk;
  const { facts, offtakes } = scene;
  const place = element("div", {});
  const askedFor = element("summary", {});
  const asked = element("details", { class: "visit-asked", open: "" }, [askedFor, place]);
  const about = element("div", { class: "visit-work" });
  const result = element("section", { class: "visit-result", "aria-labelledby": "visit-glance" });
  const glance = element("h3", { id: "visit-glance", tabindex: -1 });
  const notes = element("div", { class: "visit-notes" });
  const [days, saving, beside] = [element("div", {}), element("div", {}), element("div", {})];
  result.append(glance, notes, days, saving, beside);
  const shell = element("div", { class: "visit-plan" }, [
    element("p", { class: "why-note" }, ["Days go where a measurement could change which offtakes are funded, as far as they reach."]),
    asked, about, result,
  ]);
  host.append(shell);
  depotsKnown ??= fetchDepots().then(({ depots }) => depots);
  depotsKnown.catch(() => (depotsKnown = null));
  const depots = depotsKnown;
  let revealed = kept.now?.asked ?? null;
  asked.open = kept.now === null;

  const form = mountVisitForm(place, {
    codes: offtakes.offtake_id,
    selected: () => (chosen.now.selected === NONE ? "" : (offtakes.offtake_id[chosen.now.selected] ?? "")),
    depots,
    now: () => typed,
    keep: (next) => {
      typed = next;
      askedFor.textContent = asksWords(typed);
    },
    plan: () => void plan(),
  });
  const line = mountWorkLine(about, "Planning", facts.currency, () => kept.planning.stop(), () => void plan());
  const parts = [
    form,
    line.dispose,
    mountVisitDays(days, kept, { leaving, show: ways.show, point: ways.point }),
    mountVisitBeside(beside, kept, {
      show: ways.show,
      see: (code) => {
        typed = { ...typed, must: [...new Set([...typed.must, code])], never: typed.never.filter((each) => each !== code) };
        void plan();
      },
    }),
    facts.working ? mountVisitSave(saving, kept, { saved: ways.saved, leaving }) : () => undefined,
    kept.onChange(say),
  ];

  /** That of the saved run, where it holds one. */
  function leaving(): string {
    return kept.now?.run?.plan.leaving ?? typed.leaving;
  }

  async function plan(): Promise<void> {
    const middle = ways.middle();
    const known = await depots.catch(() => []);
    const depot = typed.depot === MIDDLE ? undefined : (known.find(({ name }) => name === typed.depot) ?? known[0]);
    const { lon, lat } = depot ?? middle;
    const rows = [...outcome.now.order].filter((row) => outcome.now.inside[row] === 1);
    const fund = trial.now.budget === null ? {} : askedOf(trial.now, rows);
    kept.plan(askedOfForm({ ...typed, depot: depot?.name ?? MIDDLE }, fund, middle), { start: { lon, lat }, dataVersion: facts.data_version });
  }

  function say(): void {
    const { now, planning: { now: work } } = kept;
    const looking = work.state === "working";
    const first = looking && work.answer;
    const words = looking ? (first ? "The days stand; what each could change is being looked at." : "Looking for the best days…") : work.state === "stopped" ? "Stopped." : "";
    line.show({ words, work, looking, again: work.state === "failed" || work.state === "stopped" ? "Plan again" : "" });
    about.hidden = !looking && work.state !== "failed" && work.state !== "stopped";
    askedFor.textContent = asksWords(typed);
    result.hidden = now === null;
    if (!now) return;
    const { told, asked: question, run } = now;
    const text = `${run ? `${run.name}: ` : ""}${runGlance(told.days)}`;
    if (glance.textContent !== text) glance.textContent = text;
    glance.classList.toggle("stale", kept.stale);
    const lines = [
      ...(now.dataVersion === facts.data_version ? [] : ["The data changed since this was planned: plan again to see what they mean."]),
      ...(kept.isMoved ? ["Its order was changed by hand."] : run ? [] : [gapWords(told.gap, looking)]),
      `${waysWords(told.used_roads, question.detour_factor, question.speed_kmh)} On the map a square is where days start; the lines join the stops in order and are not the roads.`,
    ];
    notes.replaceChildren(...lines.map((each) => element("p", { class: "why-note" }, [each])));
    if (revealed !== question) {
      revealed = question;
      ways.reveal();
      leadToResult();
    }
  }

  /** The form gives way to what came of it, unless somebody is typing there. */
  function leadToResult(): void {
    const at = document.activeElement;
    if (at instanceof HTMLInputElement && place.contains(at)) return;
    const held = shell.contains(at) || at === document.body;
    asked.open = false;
    if (held) glance.focus();
  }

  say();
  return together([...parts, () => shell.remove()]);
}
