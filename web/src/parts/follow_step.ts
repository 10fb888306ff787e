// Writes down the next step of an offer: what happened when, the money, and where approvals stand. Before
// "declined" is written, it is said who would come in.
import { Sender } from "../core/edit_send.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { LongWork } from "../core/long_work.ts";
import { APPROVAL_WORDS, STEP_WORDS, stepsAfter } from "../core/offer_words.ts";
import type { Way } from "../core/trial.ts";
import type { FundAsked } from "../wire/fund.ts";
import { APPROVALS, type Offer, type Reserve, type ReserveAsked, sendStep, type StepAsked, type StepName } from "../wire/offers.ts";
import { workAt } from "../wire/work.ts";
import { keepName, labelled, signed } from "./edit_grounds.ts";
import type { KeptForms } from "./edit_kept.ts";
import { makeReport } from "./edit_report.ts";
import { element } from "./element.ts";
import { mountWorkLine } from "./work_line.ts";

export interface StepWays {
  readonly kept: KeptForms;
  readonly code: string;
  readonly status: string;
  readonly offer: Offer | null;
  readonly currency: string;
  /** What is asked about the budget just now, and under which way. */
  readonly asked: () => FundAsked & { readonly way: Way };
  readonly reserve: (found: Reserve) => void;
  readonly saved: (revision: number) => void;
}

export function mountStepForm(host: HTMLElement, ways: StepWays): Dispose {
  const { code, currency, offer } = ways;
  const field = { class: "text-field", autocomplete: "off" } as const;
  const step = element("select", { id: "step-name", class: "text-field" }, stepsAfter(ways.status).map((each) => element("option", { value: each }, [STEP_WORDS[each]])));
  const on = element("input", { id: "step-on", type: "date", class: "text-field" });
  const committed = element("input", { id: "step-committed", type: "text", inputmode: "decimal", ...field });
  const spent = element("input", { id: "step-spent", type: "text", inputmode: "decimal", ...field });
  const works = approval("step-works", offer?.works_approval ?? "");
  const heritage = approval("step-heritage", offer?.heritage ?? "");
  const words = element("input", { id: "step-words", type: "text", maxlength: 2000, ...field });
  const by = element("input", { id: "step-by", type: "text", maxlength: 200, ...field, autocomplete: "name" });
  signed(by);
  if (offer?.committed != null) committed.value = String(offer.committed);
  on.value = new Date().toISOString().slice(0, 10);
  const coming = element("div", { class: "follow-reserve" });
  const report = makeReport();
  const save = element("button", { type: "submit", class: "strip-button edit-save" }, ["Write it down"]);
  const unit = currency ? `, ${currency}` : "";
  const form = element("form", { class: "follow-form", novalidate: "" }, [
    element("div", { class: "edit-fields" }, [
      labelled("What happened", step),
      labelled("On", on),
      labelled(`Committed${unit}`, committed),
      labelled(`Spent${unit}`, spent),
      labelled("Works approval", works),
      labelled("Heritage", heritage),
      labelled("In words", words),
      labelled("Your name", by),
    ]),
    coming,
    element("p", { class: "why-note" }, ["A step stays written: it has no undo, and a wrong one is put right by a next step."]),
    report.element,
    element("div", { class: "edit-buttons" }, [save]),
  ]);
  host.append(form);
  const kept = ways.kept.keep(form, `step ${code}`);
  const sender = new Sender<StepAsked, { readonly revision: number }>((asked) => sendStep(asked));
  const work = new LongWork(workAt<ReserveAsked, Reserve>("/api/reserve"));
  const line = mountWorkLine(coming, "Who would come in", currency, () => work.stop(), ask);
  const told = element("div", { role: "status" });
  coming.append(told);

  function ask(): void {
    work.ask({ ...ways.asked(), code });
  }

  function chosen(): void {
    const declines = step.value === "declined";
    coming.hidden = !declines;
    if (declines && work.now.state === "idle") ask();
  }

  function hear(): void {
    const { state, answer } = work.now;
    const looking = state === "working";
    line.show({ words: looking ? "Working out who would come in…" : "", work: work.now, looking, again: state === "stopped" || state === "failed" ? "Who would come in?" : "" });
    if (!answer || state !== "done") return told.replaceChildren();
    ways.reserve(answer);
    told.replaceChildren(element("p", {}, [answer.sentence]));
  }

  function amount(input: HTMLInputElement): number | null {
    const text = input.value.trim().replaceAll(",", "");
    const value = text === "" ? null : Number(text);
    if (value !== null && (!Number.isFinite(value) || value < 0)) {
      input.setAttribute("aria-invalid", "true");
      input.focus();
      throw new RangeError("Money is a number, 0 or more.");
    }
    input.removeAttribute("aria-invalid");
    return value;
  }

  function read(): StepAsked {
    if (!on.value) throw new RangeError("Say on which day.");
    const [sumCommitted, sumSpent] = [amount(committed), amount(spent)];
    return {
      code,
      step: step.value as StepName,
      on: on.value,
      ...(sumCommitted === null ? {} : { committed: sumCommitted }),
      ...(sumSpent === null ? {} : { spent: sumSpent }),
      ...(works.value ? { works_approval: works.value } : {}),
      ...(heritage.value ? { heritage: heritage.value } : {}),
      ...(words.value.trim() ? { words: words.value.trim() } : {}),
      ...(by.value.trim() ? { by: by.value.trim() } : {}),
    };
  }

  async function send(): Promise<void> {
    if (save.disabled) return;
    let asked: StepAsked;
    try {
      asked = read();
    } catch (error) {
      return report.warn(error instanceof Error ? error.message : "");
    }
    save.disabled = true;
    report.say("Writing it down…");
    const sent = await sender.send(asked, () => report.say("No answer yet; sent again under the same number…"));
    save.disabled = false;
    if (sent.state === "done") {
      kept.forget();
      ways.saved(sent.done.revision);
    } else report.warn(sent.state === "refused" ? sent.error.message : "No answer came. Write it down again: it will not be done twice.");
  }

  chosen();
  hear();
  return together([
    work.onChange(hear),
    listen(step, "change", chosen),
    listen(by, "change", () => keepName(by.value.trim())),
    listen(form, "submit", (event) => {
      event.preventDefault();
      void send();
    }),
    () => work.drop(),
    kept.dispose,
    line.dispose,
    () => form.remove(),
  ]);
}

function approval(id: string, now: string): HTMLSelectElement {
  const select = element("select", { id, class: "text-field" }, APPROVALS.map((each) => element("option", { value: each }, [APPROVAL_WORDS[each] ?? each])));
  select.value = now;
  return select;
}
