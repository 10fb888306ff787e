// One block of the why panel: a heading, what it says, and one click to why it says so.
import { element } from "./element.ts";

/** Where the guide explains it. */
export type GuidePlace = readonly [page: string, heading: string];

export const GUIDE = {
  worth: ["methods", "6-worth-and-gain"],
  overlap: ["methods", "7-season-overlap"],
  screen: ["methods", "8-screen-and-cost"],
  score: ["methods", "9-score-and-rank"],
  fund: ["methods", "10-two-ways-to-spend-a-budget"],
  sure: ["methods", "11-how-sure"],
  drift: ["methods", "4-drift"],
  data: ["data", ""],
} as const satisfies Record<string, GuidePlace>;

export function whyBlock(
  name: string,
  title: string,
  about: string,
  place: GuidePlace,
  children: readonly (Node | string)[],
): HTMLElement {
  return element("section", { class: `why-block why-${name}` }, [
    element("div", { class: "why-block-head" }, [element("h3", {}, [title]), guideLink(about, place)]),
    ...children,
  ]);
}

/** "how?": the rest of its name is heard, not seen. */
function guideLink(about: string, [page, heading]: GuidePlace): HTMLElement {
  const href = `/guide/${page}${heading ? `#${heading}` : ""}`;
  return element("a", { class: "why-how", href, target: "_blank", rel: "noopener" }, [
    "how?",
    element("span", { class: "unseen" }, [` ${about}, in the guide, opens a new tab`]),
  ]);
}

/** Terms and values in aligned lines. */
export function termList(lines: readonly (readonly [string, string])[]): HTMLElement {
  return element(
    "dl",
    { class: "why-terms" },
    lines.map(([term, value]) =>
      element("div", {}, [element("dt", {}, [term]), element("dd", {}, [value])]),
    ),
  );
}

/** A real table: heads of columns, a head a row; all but the first column are numbers. */
export function numberTable(
  caption: string,
  heads: readonly string[],
  rows: readonly (readonly string[])[],
): HTMLTableElement {
  const body = rows.map(([name, ...cells]) =>
    element("tr", {}, [
      element("th", { scope: "row" }, [name ?? ""]),
      ...cells.map((cell) => element("td", {}, [cell])),
    ]),
  );
  return element("table", { class: "why-table" }, [
    element("caption", { class: "unseen" }, [caption]),
    element("thead", {}, [element("tr", {}, heads.map((head) => element("th", { scope: "col" }, [head])))]),
    element("tbody", {}, body),
  ]);
}
