// Saves what is tried as a case: a name, a note, who. The numbers are worked out by the service, which
// can take a while; told to stop, nothing is kept.
import { savedTrial, unreasoned } from "../core/case_trial.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { makeId } from "../core/edit_send.ts";
import { LongWork } from "../core/long_work.ts";
import { listed } from "../core/sentences.ts";
import type { TrialState } from "../core/trial.ts";
import type { CaseAsked, CaseTold } from "../wire/cases.ts";
import { me } from "../wire/me.ts";
import { workAt } from "../wire/work.ts";
import { signed } from "./edit_grounds.ts";
import { element } from "./element.ts";
import { mountWorkLine } from "./work_line.ts";

export interface SaveForm {
  readonly open: (why: string) => void;
  readonly dispose: Dispose;
}

export interface Saving {
  readonly trial: () => TrialState;
  readonly selected: () => string;
  /** Id of the case it is a copy of; "" where it is none. */
  readonly copiedFrom: () => string;
  readonly currency: string;
  /** What was said of an earlier one holds no more. */
  readonly begun: () => void;
  readonly saved: (made: CaseTold) => void;
}

const KEPT_AS = "who-saves";

export function mountSaveForm(host: HTMLElement, { trial, selected, copiedFrom, currency, begun, saved }: Saving): SaveForm {
  const name = field("case-name", { required: "", maxlength: 120, "aria-describedby": "case-wrong" });
  const note = element("textarea", { id: "case-note", class: "text-field", rows: 2, maxlength: 2000 });
  const by = field("case-by", { maxlength: 120 });
  const wrong = element("p", { id: "case-wrong", class: "hand-wrong", role: "alert" });
  const why = element("p", { class: "case-why" });
  const go = element("button", { type: "submit", class: "strip-button case-go" }, ["Save"]);
  const form = element("form", { class: "case-save", novalidate: "", "aria-label": "Save this trial as a case" }, [
    why,
    element("label", { for: name.id }, ["Name"]), name,
    element("label", { for: note.id }, ["Note"]), note,
    element("label", { for: by.id }, ["Saved by"]), by,
    wrong,
    go,
  ]);
  if (me().name) signed(by);
  else by.value = readKept();
  host.append(form);
  const work = new LongWork<CaseAsked, CaseTold>(workAt("/api/cases"));
  const line = mountWorkLine(form, "Saving", currency, () => work.stop(), () => send());
  let asked: CaseAsked | null = null;

  function refuse(words: string): void {
    wrong.textContent = words;
    if (words) name.setAttribute("aria-invalid", "true");
    else name.removeAttribute("aria-invalid");
  }

  function send(): void {
    begun();
    const missing = unreasoned(trial());
    if (missing.length) {
      refuse(`Write the reason first for ${listed(missing)}: a case keeps every hand choice with its reason.`);
      return;
    }
    if (!name.value.trim()) {
      refuse("Give it a name first.");
      name.focus();
      return;
    }
    refuse("");
    if (!me().name) keep(by.value.trim());
    const told = { name: name.value.trim(), note: note.value.trim(), by: by.value.trim() || "lead", trial: savedTrial(trial(), selected()), ...(copiedFrom() ? { copied_from: copiedFrom() } : {}) };
    const same = asked && JSON.stringify({ ...asked, id: "" }) === JSON.stringify({ ...told, id: "" });
    asked = { ...told, id: same && asked ? asked.id : makeId() };
    work.ask(asked);
  }

  function say(): void {
    const { now } = work;
    const looking = now.state === "working";
    go.disabled = looking;
    line.show({ words: looking ? "Working out the numbers that are kept with it…" : now.state === "stopped" ? "Stopped; nothing is saved." : "", work: now, looking, again: now.state === "failed" ? "Try again" : "" });
    if (now.state !== "done" || !now.answer) return;
    [name.value, note.value, asked] = ["", "", null];
    saved(now.answer);
  }

  say();
  const dispose = together([
    () => work.drop(),
    work.onChange(say),
    listen(name, "input", () => refuse("")),
    listen(form, "submit", (event) => {
      event.preventDefault();
      send();
    }),
    line.dispose,
    () => form.remove(),
  ]);
  return {
    dispose,
    open: (words) => {
      why.textContent = words;
      name.focus();
    },
  };
}

function field(id: string, more: Readonly<Record<string, string | number>>): HTMLInputElement {
  return element("input", { type: "text", id, class: "text-field", autocomplete: "off", ...more });
}

function readKept(): string {
  try {
    return localStorage.getItem(KEPT_AS) ?? "";
  } catch {
    return ""; // a browser that keeps nothing
  }
}

function keep(who: string): void {
  try {
    localStorage.setItem(KEPT_AS, who);
  } catch {
    // it is asked again
  }
}
