// The way to a landholder's brief: printed from a saved case, for the offtake that is open.
import { NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { caseCopied } from "../core/case_copied.ts";
import { briefsOf, type CaseHead, fetchCases } from "../wire/cases.ts";
import { element } from "./element.ts";

type Named = Pick<CaseHead, "id" | "name">;

/** The newest case on the present data, else the newest; null where none is saved. */
export async function newestCase(): Promise<CaseHead | null> {
  const { cases } = await fetchCases();
  return cases.find((each) => each.on_present_data) ?? cases[0] ?? null;
}

/** "Brief for its landholder, from the case Round 2027: private, public."; in a table "Brief" alone. */
export function briefLinks({ id, name }: Named, code: string, inTable = false): HTMLElement {
  const links = briefsOf(id, code).map(({ words, address }) =>
    element("a", { href: address, target: "_blank", rel: "noopener", "aria-label": `${words} brief for ${code}, from the case ${name}` }, [words.toLowerCase()]),
  );
  const [own, open] = links;
  return element("p", { class: "follow-brief" }, [inTable ? "Brief: " : `Brief for its landholder, from the case ${name}: `, ...(own && open ? [own, ", ", open] : links), "."]);
}

/** On a page that is opened on a case the brief stands where offers are followed elsewhere. */
export function mountBriefPart(host: HTMLElement, { scene, chosen }: Desk, opened: Named): Dispose {
  const told = element("div", {});
  const block = element("section", { class: "why-block why-brief" }, [element("div", { class: "why-block-head" }, [element("h3", {}, ["For the landholder"])]), told]);
  host.append(block);

  function say(): void {
    const code = scene.offtakes.offtake_id[chosen.now.selected] ?? "";
    block.hidden = chosen.now.selected === NONE || code === "";
    if (!block.hidden) told.replaceChildren(briefLinks(caseCopied.now ?? opened, code));
  }

  say();
  return together([
    chosen.onChange((now, before) => {
      if (now.selected !== before.selected) say();
    }),
    caseCopied.onSaved(say),
    () => block.remove(),
  ]);
}
