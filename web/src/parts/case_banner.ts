// A case is open: it does not move until a change is tried, and then it is a trial on a copy; saved as a new
// case, that one is open.
import { caseCopied } from "../core/case_copied.ts";
import { trialOfCase } from "../core/case_trial.ts";
import { caseStamp } from "../core/case_words.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { moment } from "../core/numbers.ts";
import { DECIDING, type TrialState } from "../core/trial.ts";
import { caseInView } from "../wire/case_in_view.ts";
import { type CaseTold, pageOf } from "../wire/cases.ts";
import { element } from "./element.ts";
import { keepOneStop } from "./roving.ts";

/** `kept` is what the case keeps; `save` opens the form that saves a new one. */
export function mountCaseBanner(host: HTMLElement, { trial }: Desk, opened: CaseTold, keptFirst: TrialState, save: () => void): Dispose {
  let [told, kept] = [opened, keptFirst];
  const words = element("p", { role: "status" });
  const change = button("Try a change");
  const back = button("Back to the case");
  const keep = button("Save as a new case");
  const stamp = element("p", { class: "case-stamp" });
  const { is_present: isPresent, changed_at: changedAt } = told.data;
  const older = isPresent ? [] : [` It stands on its own data, of ${moment(changedAt)}; the present data are others. `, element("a", { href: pageOf() }, ["Show the present data"])];
  const bar = element("div", { class: "strip-buttons", role: "toolbar", "aria-label": "Case" }, [change, back, keep]);
  const banner = element("section", { class: "case-banner", "aria-label": "Case" }, [element("div", { class: "case-banner-words" }, [words, stamp]), bar]);
  host.append(banner);
  const stops = keepOneStop(bar, [change, back, keep]);

  function say(): void {
    const { held } = trial.now;
    stamp.replaceChildren(`${caseStamp(told)}.`, ...older);
    const name = element("strong", {}, [told.name]);
    words.replaceChildren(...(held ? ["Case ", name, ": it does not move."] : ["A trial on a copy of ", name, ". The case itself stays as it is."]));
    banner.classList.toggle("case-tried", !held);
    const had = bar.contains(document.activeElement);
    change.hidden = !held;
    back.hidden = keep.hidden = held;
    stops.fit();
    if (had) (held ? change : back).focus();
  }

  /** What was tried is a case of its own now, and a reload opens it. */
  function saved(made: CaseTold): void {
    [told, kept] = [made, trialOfCase(made.trial, keptFirst)];
    history.replaceState(history.state, "", `${pageOf(made.id)}${location.hash}`);
    trial.startFrom(kept);
    trial.change({ held: true });
    say();
  }

  /** A step back to before the saving is of the case before. */
  function follow(): void {
    if (caseInView() !== told.id) location.reload();
  }

  say();
  addEventListener("popstate", follow);
  return together([
    caseCopied.onSaved(saved),
    () => removeEventListener("popstate", follow),
    trial.onChange((now, before) => {
      if (now.held !== before.held) say();
    }),
    listen(change, "click", () => trial.change({ held: false })),
    listen(back, "click", () => trial.change({ ...Object.fromEntries(DECIDING.map((name) => [name, kept[name]])), held: true })),
    listen(keep, "click", save),
    stops.dispose,
    () => banner.remove(),
  ]);
}

function button(words: string): HTMLButtonElement {
  return element("button", { type: "button", class: "strip-button" }, [words]);
}
