// The why panel's part about an offer: its steps with dates and money, approvals, what comes next, and a
// form for the next step. Shown for what is in the set or has had an offer.
import { NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { approvalWords, countedWords, stepWords } from "../core/offer_words.ts";
import type { OffersKept } from "../core/offers_kept.ts";
import type { KeptForms } from "./edit_kept.ts";
import type { CaseHead } from "../wire/cases.ts";
import { element } from "./element.ts";
import { briefLinks } from "./follow_brief.ts";
import { mountStepForm } from "./follow_step.ts";
import { GUIDE, whyBlock } from "./why_block.ts";

export interface FollowWays {
  readonly offers: OffersKept;
  readonly kept: KeptForms;
  readonly wrote: (revision: number, code: string) => void;
  readonly all: () => void;
  /** The case that briefs are printed from. */
  readonly newest: () => Promise<CaseHead | null>;
}

export function mountFollowPart(host: HTMLElement, desk: Desk, ways: FollowWays): Dispose {
  const { scene, chosen, outcome } = desk;
  const { currency } = scene.facts;
  const { offers } = ways;
  const told = element("div", {});
  const next = element("details", { class: "why-details" }, [element("summary", {}, ["Write down the next step"])]);
  const all = element("button", { type: "button", class: "quiet" }, ["All offers"]);
  const block = whyBlock("follow", "The offer", "offers are followed up", GUIDE.fund, [told, next, all]);
  host.append(block);
  let code = "";
  let asked = "";
  let paper: CaseHead | null = null;
  let stop: Dispose | null = null;

  function shut(): void {
    stop?.();
    stop = null;
    next.open = false;
  }

  function say(): void {
    const row = chosen.now.selected;
    const now = row === NONE ? "" : (scene.offtakes.offtake_id[row] ?? "");
    if (now !== code) shut();
    code = now;
    const status = scene.offtakes.status[row] ?? "candidate";
    const offer = offers.of(code);
    block.hidden = code === "" || !(outcome.now.inside[row] || offer || status !== "candidate");
    if (block.hidden) return;
    const reserve = status === "declined" || offer?.status === "declined" ? offers.reserves.get(code) : undefined;
    told.replaceChildren(
      ...(offers.trouble ? [element("p", { role: "alert" }, [offers.trouble])] : []),
      element("p", {}, [element("strong", {}, [capital(offer?.status ?? status)]), offer ? `. ${approvalWords(offer)}` : ". No step is written down yet."]),
      ...(offer && countedWords(offer) ? [element("p", { class: "follow-ledger" }, [`${capital(countedWords(offer))}. Committed money is a ledger of its own: the budget is spent on what is counted.`])] : []),
      ...(offer?.screen_note ? [element("p", {}, [offer.screen_note])] : []),
      ...(offer?.next ? [element("p", { class: "why-do" }, [`Next: ${offer.next}.`])] : []),
      ...(offer?.warnings ?? []).map((words) => element("p", { class: "why-note" }, [`Odd, though not wrong: ${words}.`])),
      ...(reserve ? [element("p", {}, [reserve.sentence])] : []),
      ...(offer?.steps.length ? [element("ol", { class: "follow-steps" }, offer.steps.map((each) =>
        element("li", {}, [stepWords(each, currency), ...(each.words ? [element("span", { class: "why-note" }, [each.words])] : []), element("span", { class: "why-note" }, [`written by ${each.by}`])]),
      ))] : []),
      ...(paper ? [briefLinks(paper, code)] : []),
    );
    if (asked !== code) void look();
  }

  /** A case may have been saved since another offtake was open. */
  async function look(): Promise<void> {
    const mine = (asked = code);
    paper = await ways.newest().catch(() => null);
    if (mine === code && !block.hidden && block.isConnected) say();
  }

  /** Made when it is first unfolded. */
  function unfold(): void {
    if (!next.open || stop) return;
    const row = chosen.now.selected;
    const offer = offers.of(code);
    const mine = code;
    stop = mountStepForm(next, {
      code,
      status: offer?.status ?? scene.offtakes.status[row] ?? "candidate",
      offer,
      currency,
      asked: () => ({ ...outcome.now.asked, way: outcome.now.way }),
      reserve: (found) => offers.reserves.set(mine, found),
      kept: ways.kept,
      saved: (revision) => {
        shut();
        next.querySelector("summary")?.focus();
        ways.wrote(revision, mine);
        void offers.load();
      },
    });
  }

  say();
  if (!offers.now) void offers.load();
  return together([
    chosen.onChange((now, before) => {
      if (now.selected !== before.selected) say();
    }),
    outcome.onChange(say),
    offers.onChange(say),
    listen(next, "toggle", unfold),
    listen(all, "click", ways.all),
    () => shut(),
    () => block.remove(),
  ]);
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
