// The saved cases in a drawer over the list: save what is tried, open, share, delete, compare two, print.
import { caseCopied } from "../core/case_copied.ts";
import { keeps, mayKeep } from "../core/case_trial.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import look from "../look/cases.css" with { type: "text" };
import { type CaseHead, type CaseTold, compareCases, fetchCase, fetchCases } from "../wire/cases.ts";
import { COMPARED_ID, comparison } from "./case_compare.ts";
import { caseItem } from "./case_item.ts";
import { papersList } from "./case_papers.ts";
import { mountSaveForm } from "./case_save.ts";
import { dress } from "./dress.ts";
import { element } from "./element.ts";

export interface CaseDrawer {
  /** `saving` opens the form, with a word on why. */
  readonly open: (saving?: string) => void;
  readonly dispose: Dispose;
}

/** So many cases are looked into for one that keeps what is tried. */
const MOST_LOOKED_INTO = 8;
const SAVE_FIRST = "Save this first, then print";

/** `opened` is the case the page is on. */
export function mountCaseDrawer(host: HTMLElement, desk: Desk, opened: CaseTold | null): CaseDrawer {
  const { scene, trial, chosen } = desk;
  const { facts, offtakes } = scene;
  dress(look);
  const shut = element("button", { type: "button", class: "why-close", "aria-label": "Close the cases" }, ["×"]);
  const told = element("p", { class: "case-told", role: "status" });
  const present = element("div", { class: "case-present" });
  const saving = element("div");
  const compare = element("button", { type: "button", class: "strip-button" }, ["Compare the two ticked"]);
  const compared = element("div");
  const list = element("ul", { class: "case-list", "aria-label": "Saved cases" });
  const drawer = element("dialog", { class: "cases", "aria-labelledby": "cases-title" }, [
    element("div", { class: "cases-head" }, [element("h2", { id: "cases-title", tabindex: -1, autofocus: "" }, ["Cases"]), shut]),
    element("div", { class: "cases-body" }, [
      told,
      element("section", { "aria-label": "What is tried now" }, [present, saving]),
      element("section", { "aria-labelledby": "cases-saved" }, [
        element("div", { class: "case-head" }, [element("h3", { id: "cases-saved" }, ["Saved"]), compare]),
        compared,
        list,
      ]),
    ]),
  ]);
  host.append(drawer);
  const onCase = (): CaseTold | null => (opened ? (caseCopied.now ?? opened) : null);
  const selected = (): string => offtakes.offtake_id[chosen.now.selected] ?? "";
  const form = mountSaveForm(saving, {
    trial: () => trial.now,
    selected,
    copiedFrom: () => onCase()?.id ?? "",
    currency: facts.currency,
    begun: () => void (told.textContent = ""),
    saved: (made) => {
      if (opened) caseCopied.saved(made);
      void refresh(`${made.name} is saved.`).then(() => present.querySelector("a")?.focus());
    },
  });
  let all: readonly CaseHead[] = [];
  let marked: string[] = [];
  let asked = 0;

  async function refresh(words = ""): Promise<void> {
    asked += 1;
    const mine = asked;
    if (words) told.textContent = words;
    try {
      const { cases } = await fetchCases();
      const kept = await keptNow(cases);
      if (mine !== asked) return;
      showPresent(kept);
      marked = marked.filter((id) => cases.some((each) => each.id === id));
      all = cases;
      list.replaceChildren(...cases.map(item));
      if (!cases.length) list.replaceChildren(element("li", {}, ["No case is saved yet."]));
      showCompare();
    } catch (error) {
      if (mine === asked) told.textContent = error instanceof Error ? error.message : "The cases cannot be read.";
    }
  }

  /** The saved case that keeps what is tried; null where there is none. */
  async function keptNow(cases: readonly CaseHead[]): Promise<CaseTold | null> {
    if (opened && trial.now.held) return onCase();
    const like = cases.filter((each) => mayKeep(each, trial.now, facts.data_version)).slice(0, MOST_LOOKED_INTO);
    const read = await Promise.all(like.map(({ id }) => fetchCase(id)));
    return read.find((each) => keeps(each, trial.now, facts.data_version)) ?? null;
  }

  function showPresent(kept: CaseTold | null): void {
    saving.hidden = kept !== null;
    if (kept) {
      present.replaceChildren(element("p", {}, ["What is tried now is saved as ", element("strong", {}, [kept.name]), ". Print it or take it away:"]), papersList(kept.id, "what is tried now", selected()));
      return;
    }
    const prints = ["Fund page", "Board brief", "Workbook", "Map file"].map((words) => {
      const button = element("button", { type: "button", class: "strip-button", "aria-label": `${words}: ${SAVE_FIRST.toLowerCase()}` }, [words]);
      button.addEventListener("click", () => form.open(`${SAVE_FIRST}.`));
      return button;
    });
    present.replaceChildren(
      element("p", {}, [opened ? `What is tried now differs from every saved case. It is a trial on a copy of ${onCase()?.name}.` : "What is tried now is not saved."]),
      element("div", { class: "case-acts", role: "group", "aria-label": SAVE_FIRST }, [element("span", {}, [`${SAVE_FIRST}:`]), ...prints]),
    );
  }

  function item(head: CaseHead): HTMLElement {
    return caseItem(head, {
      currency: facts.currency,
      selected: selected(),
      isOpen: onCase()?.id === head.id,
      isMarked: marked.includes(head.id),
      mark: (on) => {
        marked = on ? [...marked, head.id].slice(-2) : marked.filter((id) => id !== head.id);
        list.querySelectorAll<HTMLElement>("[data-case]").forEach((each) => {
          const box = each.querySelector("input");
          if (box) box.checked = marked.includes(each.dataset["case"] ?? "");
        });
        showCompare();
      },
      changed: (words) => void refresh(words),
    });
  }

  function showCompare(): void {
    compare.hidden = all.length < 2;
    compare.disabled = marked.length !== 2;
  }

  async function compareMarked(): Promise<void> {
    const [other = "", one = ""] = all.map(({ id }) => id).filter((id) => marked.includes(id)); // the newest comes first
    try {
      compared.replaceChildren(comparison(await compareCases(one, other), facts.currency));
      document.getElementById(COMPARED_ID)?.focus();
    } catch (error) {
      told.textContent = error instanceof Error ? error.message : "They cannot be compared.";
    }
  }

  showCompare();
  const dispose = together([
    form.dispose,
    listen(shut, "click", () => drawer.close()),
    listen(compare, "click", () => void compareMarked()),
    () => drawer.remove(),
  ]);
  return {
    dispose,
    open: (why) => {
      if (!drawer.open) {
        told.textContent = "";
        drawer.showModal();
        void refresh();
      }
      if (why !== undefined) form.open(why);
    },
  };
}
