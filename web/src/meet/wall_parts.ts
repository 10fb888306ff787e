// Small parts of the figures beside the wall's map.
import { element } from "../parts/element.ts";

/** As many rows as a hall reads. */
export const MOST_ROWS = 7;

export function heading(words: string): HTMLElement {
  return element("h2", {}, [words]);
}

/** A table; the first cell of a row is its head; codes are those of offtakes that the rows tell of. */
export function table(label: string, heads: readonly string[], rows: readonly (readonly (Node | string)[])[], codes: readonly string[] = []): HTMLElement {
  const head = heads.length ? [element("thead", {}, [element("tr", {}, heads.map((words) => (words ? element("th", { scope: "col" }, [words]) : element("td"))))])] : [];
  const body = rows.map(([first = "", ...others], i) => element("tr", { "data-code": codes[i] }, [element("th", { scope: "row" }, [first]), ...others.map((cell) => element("td", {}, [cell]))]));
  return element("table", { "aria-label": label }, [...head, element("tbody", {}, body)]);
}

/** A share of the whole as a bar, its words before it. */
export function shareBar(words: string, share: number): HTMLElement {
  const fill = element("span", { class: "bar-fill" });
  fill.style.setProperty("--share", String(share));
  return element("p", { class: "share-bar" }, [element("span", {}, [words]), element("span", { class: "bar" }, [fill])]);
}

/** Codes of the offtakes that are told of beside the map. */
export function codesTold(side: HTMLElement): ReadonlySet<string> {
  return new Set([...side.querySelectorAll<HTMLElement>("tr[data-code]")].map(({ dataset }) => dataset["code"] ?? ""));
}
