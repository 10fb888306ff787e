// What is inside under a phone's weights, in the agency's order, each with its why; and what the agency has beside it.
import { element } from "../parts/element.ts";
import { costWords, lossWords, whyWords } from "./phone_words.ts";
import { counted } from "./words.ts";
import type { Meeting, Offtake } from "./wire.ts";

export interface ListPart {
  readonly element: HTMLElement;
  readonly show: (inside: readonly string[], isOwn: boolean) => void;
}

/** So many stand there at first: the rest of the page stays in reach of a thumb. */
const FIRST = 8;

interface Row {
  readonly element: HTMLLIElement;
  readonly show: (isInside: boolean, isOwn: boolean) => void;
}

export function makeList({ offtakes, currency }: Meeting): ListPart {
  const byCode = new Map(offtakes.map((each) => [each.code, each]));
  const rows = new Map<string, Row>();
  const inside = element("ol", { class: "sites", tabindex: -1, "aria-labelledby": "list-title" });
  const left = element("ol", { class: "sites" });
  const more = element("button", { type: "button", class: "button" });
  const leftTitle = element("summary", { class: "button" });
  const leftOut = element("details", { class: "left-out" }, [leftTitle, left]);
  let [all, codes, own] = [false, [] as readonly string[], false];

  function rowOf(site: Offtake): Row {
    const made = rows.get(site.code) ?? makeRow(site, currency);
    rows.set(site.code, made);
    return made;
  }

  function fill(host: HTMLElement, sites: readonly Offtake[], isInside: boolean): void {
    const next = sites.map((site) => {
      const row = rowOf(site);
      row.show(isInside, own);
      return row.element;
    });
    const stands = next.length === host.children.length && next.every((each, i) => each === host.children[i]);
    if (!stands) host.replaceChildren(...next); // else the focus would be lost for nothing
  }

  function draw(): void {
    const sites = codes.flatMap((code) => byCode.get(code) ?? []);
    const set = new Set(codes);
    const outside = offtakes.filter((each) => each.state === "inside" && !set.has(each.code));
    fill(inside, all ? sites : sites.slice(0, FIRST), true);
    fill(left, outside, false);
    more.hidden = all || sites.length <= FIRST;
    more.textContent = `Show all ${sites.length}`;
    leftOut.hidden = outside.length === 0;
    leftTitle.textContent = `${counted(outside.length, "offtake")} inside the agency’s list only`;
  }

  more.addEventListener("click", () => {
    all = true;
    draw();
    inside.querySelector<HTMLElement>(`li:nth-child(${FIRST + 1}) button`)?.focus(); // the button pressed is gone
  });
  return {
    element: element("section", { class: "list-part", "aria-labelledby": "list-title" }, [element("h2", { id: "list-title" }, ["Inside the budget"]), element("p", { class: "soft" }, [`Numbered by the agency’s rank${currency ? `; a screen’s cost in ${currency}` : ""}.`]), inside, more, leftOut]),
    show: (next, isOwn) => {
      [codes, own] = [next, isOwn];
      draw();
    },
  };
}

function makeRow(site: Offtake, currency: string): Row {
  const sign = element("span", { class: `sign sign-outside risk-${site.risk + 1}`, "aria-hidden": "true" });
  const why = element("p", { class: "site-why", id: `why-${site.rank}`, hidden: "" });
  const opener = element("button", { type: "button", class: "site", "aria-expanded": "false", "aria-controls": why.id }, [
    sign,
    element("span", { class: "site-words" }, [
      element("span", { class: "site-code" }, [`${site.rank}. ${site.code}`]),
      element("span", { class: "site-reach" }, [site.reach]),
      element("span", { class: "site-facts" }, [`${lossWords(site)} · ${costWords(site, "")}`]),
      ...(site.state === "inside" ? [] : [element("span", { class: "site-agency" }, ["not inside the agency’s list"])]),
    ]),
    element("span", { class: "site-ask" }, ["Why?"]),
  ]);
  opener.addEventListener("click", () => {
    why.hidden = !why.hidden;
    opener.setAttribute("aria-expanded", String(!why.hidden));
  });
  return {
    element: element("li", { "data-code": site.code }, [opener, why]),
    show: (isInside, isOwn) => {
      sign.className = `sign sign-${isInside ? "inside" : "outside"} risk-${site.risk + 1}`;
      why.textContent = whyWords(site, isInside, currency, isOwn);
    },
  };
}
