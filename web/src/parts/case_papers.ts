// What can be printed or taken away of a saved case: links, each opening beside the page.
import { type Paper, papersOf } from "../wire/cases.ts";
import { element } from "./element.ts";

/** `code` is the offtake that is open; "" for none. */
export function papersList(caseId: string, name: string, code: string): HTMLElement {
  const items = papersOf(caseId, code).map(({ words, address }: Paper) =>
    element("li", {}, [element("a", { href: address, target: "_blank", rel: "noopener" }, [words])]),
  );
  return element("ul", { class: "case-papers", "aria-label": `Papers and files of ${name}` }, items);
}
