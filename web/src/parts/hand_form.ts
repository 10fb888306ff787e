// Keeps an offtake in the best set or leaves it out by hand. A written reason is asked for at the field;
// what the service refuses is said there too, and taken back.
import type { Desk, FundDesk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { COMMITTED } from "../core/fund.ts";
import type { Reasons } from "../core/trial.ts";
import { element } from "./element.ts";

export interface HandForm {
  /** Shows the choice made for an offtake. */
  readonly show: (row: number) => void;
  readonly dispose: Dispose;
}

type Choice = "keptIn" | "leftOut";
const UNREFUSED = 0;

export function mountHandForm(host: HTMLElement, { scene, trial, outcome }: Desk, { best }: FundDesk): HandForm {
  const field = element("input", { type: "text", id: "hand-reason", class: "text-field hand-reason", autocomplete: "off", "aria-describedby": "hand-wrong", required: "" });
  const wrong = element("p", { id: "hand-wrong", class: "hand-wrong", role: "alert" });
  const keep = button("Keep in");
  const leave = button("Leave out");
  const clear = button("Clear choice");
  const chosen = element("p", { class: "hand-chosen" });
  const form = element("form", { class: "hand", novalidate: "" }, [
    element("label", { for: field.id }, ["Your reason, kept with the choice"]),
    field,
    wrong,
    element("div", { class: "hand-buttons" }, [keep, leave]),
  ]);
  const made = element("div", { class: "hand-made" }, [chosen, clear]);
  const elsewhere = element("p", { class: "why-note" }, ["Keeping in or leaving out by hand moves the best set alone. ", button("Show the best set")]);
  const promised = element("p", { class: "why-note" }, ["Accepted, so it is in before any other: change where the offer stands in the data to release it."]);
  const fixed = element("p", { class: "why-note" }, ["A case does not move: “Try a change” first."]);
  const shell = element("div", {}, [made, form, promised, elsewhere, fixed]);
  host.append(shell);
  let code = "";
  /** The choice that waits for the service to take it. */
  let offered: { readonly code: string; readonly choice: Choice; readonly reason: string } | null = null;

  function show(row: number): void {
    const next = scene.offtakes.offtake_id[row] ?? "";
    if (next !== code) {
      field.value = "";
      refuse("");
    }
    code = next;
    const { keptIn, leftOut, way, held } = trial.now;
    const [kept, left] = [keptIn[code], leftOut[code]];
    const reason = kept ?? left;
    const told = kept === undefined ? "Left out" : "Kept in";
    chosen.textContent = reason === undefined ? "" : reason ? `${told} by hand: ${reason}` : `${told} by the link. The reason is not in the link: write one, and it counts.`;
    made.hidden = reason === undefined;
    promised.hidden = scene.offtakes.fund_state?.[row] !== COMMITTED;
    form.hidden = held || way === "score" || Boolean(reason) || !promised.hidden;
    elsewhere.hidden = held || way === "best" || !promised.hidden;
    clear.hidden = held;
    fixed.hidden = !held;
  }

  function refuse(words: string): void {
    if (wrong.textContent !== words) wrong.textContent = words;
    if (words) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }

  function choose(choice: Choice): void {
    const reason = field.value.trim();
    if (!reason) {
      refuse("Write the reason first: it is kept with the choice and printed with it.");
      field.focus();
      return;
    }
    refuse("");
    offered = { code, choice, reason };
    const others = { keptIn: without(trial.now.keptIn, code), leftOut: without(trial.now.leftOut, code) };
    trial.change({ ...others, [choice]: { ...others[choice], [code]: reason } });
    if (offered) clear.focus();
  }

  /** A choice that the service refuses is taken back and said at the field. */
  function hear(): void {
    const trouble = best.now.work.trouble;
    if (!offered || !trouble) return;
    if (trouble.status === UNREFUSED || trouble.status >= 500) return;
    const taken = offered;
    offered = null;
    trial.change({ [taken.choice]: without(trial.now[taken.choice], taken.code) }, true);
    if (taken.code !== code) return;
    field.value = taken.reason;
    refuse(trouble.message);
    field.focus();
  }

  const dispose = together([
    outcome.onChange(hear),
    listen(keep, "click", () => choose("keptIn")),
    listen(leave, "click", () => choose("leftOut")),
    listen(field, "input", () => refuse("")),
    listen(form, "submit", (event) => event.preventDefault()),
    listen(clear, "click", () => {
      trial.change({ keptIn: without(trial.now.keptIn, code), leftOut: without(trial.now.leftOut, code) });
      field.focus();
    }),
    listen(elsewhere, "click", ({ target }) => {
      if (!(target instanceof HTMLButtonElement)) return;
      trial.change({ way: "best" });
      field.focus();
    }),
    () => shell.remove(),
  ]);
  return { show, dispose };
}

function without(reasons: Reasons, code: string): Reasons {
  return Object.fromEntries(Object.entries(reasons).filter(([each]) => each !== code));
}

function button(words: string): HTMLButtonElement {
  return element("button", { type: "button", class: "strip-button" }, [words]);
}
