// All offers in one table, with what is committed and spent in all and what comes next for each.
import { type Dispose, together } from "../core/dispose.ts";
import { money } from "../core/numbers.ts";
import { approvalWords, stepWords, totalsWords } from "../core/offer_words.ts";
import type { OffersKept } from "../core/offers_kept.ts";
import type { Offer } from "../wire/offers.ts";
import { element } from "./element.ts";

export function mountOffers(host: HTMLElement, kept: OffersKept, currency: string, open: (code: string) => void): Dispose {
  const shell = element("div", {});
  host.append(shell);

  function say(): void {
    const { now, trouble } = kept;
    if (!now) {
      shell.replaceChildren(element("p", { role: "status" }, [trouble || "Reading the offers…"]));
      return;
    }
    shell.replaceChildren(element("p", { role: "status" }, [totalsWords(now, currency)]), ...(now.offers.length ? [table(now.offers)] : []));
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
    const cells = [stands, [sum(offer.committed)], [sum(offer.spent)], [offer.next]];
    return element("tr", {}, [element("th", { scope: "row" }, [to]), ...cells.map((words) => element("td", {}, words))]);
  }

  say();
  void kept.load();
  return together([kept.onChange(say), () => shell.remove()]);
}

function sum(amount: number | null): string {
  return amount === null ? "–" : money(amount, "");
}
