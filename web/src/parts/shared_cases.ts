// The shared cases, for whoever reads them and saves none: what each does, and its page to print.
import type { Dispose } from "../core/dispose.ts";
import { WAY_WORDS } from "../core/fund_words.ts";
import { moment, shortMoney } from "../core/numbers.ts";
import { offtakeCount } from "../core/sentences.ts";
import { fetchSharedCases, fundPageOf, type SharedHead } from "../wire/cases.ts";
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";
import { mountSideSheet } from "./side_sheet.ts";

export interface SharedCases {
  readonly open: () => void;
  readonly dispose: Dispose;
}

export function mountSharedCases(host: HTMLElement, currency: string): SharedCases {
  const sheet = mountSideSheet(host, "shared", "Shared cases");
  const list = element("ul", { class: "case-list", "aria-label": "Shared cases" });
  sheet.body.append(list);

  async function read(): Promise<void> {
    try {
      const { cases } = await fetchSharedCases();
      list.replaceChildren(...(cases.length ? cases.map((each) => sharedItem(each, currency)) : [element("li", {}, ["No case has been shared yet."])]));
    } catch (error) {
      sheet.say(wordsOf(error, "The cases cannot be read."));
    }
  }

  return {
    open: () => {
      sheet.open();
      void read();
    },
    dispose: sheet.dispose,
  };
}

function sharedItem({ id, name, by, shared_at: shared, budget, spent, count, data_version: version, way }: SharedHead, currency: string): HTMLElement {
  const unit = currency ? ` ${currency}` : "";
  return element("li", { class: "case", "data-case": id }, [
    element("h3", {}, [name]),
    element("p", {}, [`${WAY_WORDS[way]}: ${offtakeCount(count).toLowerCase()}, ${shortMoney(spent)} of ${shortMoney(budget)}${unit}`]),
    element("p", { class: "case-stamp" }, [`Shared ${moment(shared)} by ${by}; data version ${version}`]),
    element("div", { class: "case-acts" }, [
      element("a", { class: "strip-button", href: fundPageOf(id), target: "_blank", rel: "noopener" }, ["Read and print", element("span", { class: "unseen" }, [`: ${name} (opens beside this page)`])]),
    ]),
  ]);
}
