// Two cases beside each other: what was changed between them, who comes in and who goes out, and why.
import { caseGlance, caseStamp } from "../core/case_words.ts";
import { money, NOTHING } from "../core/numbers.ts";
import type { CaseHead, Compared, Moved } from "../wire/cases.ts";
import { element } from "./element.ts";

export const COMPARED_ID = "compared";

export function comparison({ one, other, enters, leaves, stays, money: said, what_changed: changed }: Compared, currency: string): HTMLElement {
  return element("section", { class: "compared", "aria-labelledby": COMPARED_ID }, [
    element("h3", { id: COMPARED_ID, tabindex: -1 }, [`From ${one.name} to ${other.name}`]),
    element("div", { class: "compared-sides" }, [head(one, currency), head(other, currency)]),
    element("p", {}, [said.sentence]),
    ...(changed.length ? [element("ul", { class: "compared-changed", "aria-label": "What was changed" }, changed.map((words) => element("li", {}, [words])))] : [element("p", {}, ["Nothing that decides was changed."])]),
    element("div", { class: "compared-sides" }, [
      moved(`Goes out with ${other.name}`, leaves, currency),
      moved(`Comes in with ${other.name}`, enters, currency),
    ]),
    element("p", { class: "case-stamp" }, [`${stays} inside both.`]),
  ]);
}

function head(of: CaseHead, currency: string): HTMLElement {
  return element("div", { class: "compared-head" }, [
    element("h4", {}, [of.name]),
    element("p", {}, [caseGlance(of, currency)]),
    element("p", { class: "case-stamp" }, [caseStamp(of)]),
  ]);
}

function moved(title: string, all: readonly Moved[], currency: string): HTMLElement {
  const rows = all.map(({ code, cost, why }) =>
    element("tr", {}, [
      element("th", { scope: "row" }, [code]),
      element("td", { class: "compared-cost" }, [cost === null ? NOTHING : money(cost, currency)]),
      element("td", {}, [why]),
    ]),
  );
  const heads = ["Code", "Cost to the fund", "Why"].map((words) => element("th", { scope: "col" }, [words]));
  const table = element("table", {}, [element("thead", {}, [element("tr", {}, heads)]), element("tbody", {}, rows)]);
  return element("div", { class: "compared-moved" }, [element("h4", {}, [`${title}: ${all.length}`]), all.length ? table : element("p", {}, ["None."])]);
}
