// All offers in one table, with what is committed and spent in all and what comes next for each.
import { type Dispose, together } from "../core/dispose.ts";
import { money } from "../core/numbers.ts";
import { approvalWords, countedWords, ledgerWords, stepWords, totalsWords } from "../core/offer_words.ts";
import type { OffersKept } from "../core/offers_kept.ts";
import type { CaseHead } from "../wire/cases.ts";
import type { Offer } from "../wire/offers.ts";
import { element } from "./element.ts";
import { briefLinks } from "./follow_brief.ts";

export interface OfferWays {
  readonly kept: OffersKept;
  readonly currency: string;
  readonly open: (code: string) => void;
  /** The case that briefs are printed from. */
  readonly newest: () => Promise<CaseHead | null>;
}

export function mountOffers(host: HTMLElement, { kept, currency, open, newest }: OfferWays): Dispose {
  const shell = element("div", {});
  host.append(shell);
  let paper: CaseHead | null = null;
  let gone = false;

  function say(): void {
    const { now, trouble } = kept;
    if (!now) {
      shell.replaceChildren(element("p", { role: "status" }, [trouble || "Reading the offers…"]));
      return;
    }
    const ledger = ledgerWords(now);
    const briefs = paper ? `Briefs are printed from the case ${paper.name}.` : "A landholder's brief is printed from a saved case: Cases, above, saves one.";
    shell.replaceChildren(
      trouble ? element("p", { role: "alert" }, [`${trouble} Shown is what was read before.`]) : element("p", { role: "status" }, [totalsWords(now, currency)]),
      ...(ledger ? [element("p", { class: "follow-ledger" }, [ledger])] : []),
      ...(now.offers.length ? [table(now.offers), element("p", { class: "why-note" }, [briefs])] : []),
    );
  }

  function table(offers: readonly Offer[]): HTMLElement {
    const unit = currency ? `, ${currency}` : "";
    const heads = ["Offtake", "Stands", `Committed${unit}`, `Spent${unit}`, "Next"];
    return element("div", { class: "paste-scroll", tabindex: 0, role: "region", "aria-label": "All offers" }, [
      element("table", { class: "why-table follow-table" }, [
        element("caption", { class: "unseen" }, ["All offers"]),
        element("thead", {}, [element("tr", {}, heads.map((head) => element("th", { scope: "col" }, [head])))]),
        element("tbody", {}, offers.map(line)),
      ]),
    ]);
  }

  function line(offer: Offer): HTMLElement {
    const to = element("button", { type: "button", class: "quiet" }, [offer.code]);
    to.addEventListener("click", () => open(offer.code));
    const last = offer.steps[offer.steps.length - 1];
    const notes = [...(last ? [`${stepWords(last, "")}.`] : []), ...(offer.works_approval || offer.heritage ? [approvalWords(offer)] : [])];
    const stands = [offer.status, ...notes.map((words) => element("span", { class: "upload-example" }, [words]))];
    const beside = countedWords(offer);
    const committed = [sum(offer.committed), ...(beside ? [element("span", { class: "upload-example" }, [beside])] : [])];
    const next = [offer.next, ...(paper ? [briefLinks(paper, offer.code, true)] : [])];
    const cells = [stands, committed, [sum(offer.spent)], next];
    return element("tr", {}, [element("th", { scope: "row" }, [to]), ...cells.map((words) => element("td", {}, words))]);
  }

  say();
  void kept.load();
  newest().then(
    (found) => {
      paper = found;
      if (!gone) say();
    },
    () => undefined, // the offers stand without it
  );
  return together([kept.onChange(say), () => shell.remove(), () => (gone = true)]);
}

function sum(amount: number | null): string {
  return amount === null ? "–" : money(amount, "");
}
