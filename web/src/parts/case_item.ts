// One saved case in the drawer: what it does, open it, share it, delete it while nobody was given it, print
// it, mark it to be compared.
import { caseGlance, caseStamp } from "../core/case_words.ts";
import { type CaseHead, deleteCase, pageOf, shareCase } from "../wire/cases.ts";
import { me } from "../wire/me.ts";
import { caseLinks } from "./case_links.ts";
import { caseMeeting } from "./case_meeting.ts";
import { papersList } from "./case_papers.ts";
import { element } from "./element.ts";

export interface ItemTold {
  readonly currency: string;
  /** Code of the offtake that is open. */
  readonly selected: string;
  readonly isOpen: boolean;
  readonly isMarked: boolean;
  readonly mark: (on: boolean) => void;
  /** Something about the cases changed; the words say what. */
  readonly changed: (words: string) => void;
}

export function caseItem(head: CaseHead, told: ItemTold): HTMLElement {
  const { id, name, note, shared_at: shared } = head;
  const mark = element("input", { type: "checkbox", "aria-label": `Compare ${name}` });
  mark.checked = told.isMarked;
  mark.addEventListener("change", () => told.mark(mark.checked));
  const acts = element("div", { class: "case-acts" });
  const item = element("li", { class: "case", "data-case": id }, [
    element("div", { class: "case-head" }, [
      element("h3", {}, [name]),
      element("label", { class: "case-mark" }, [mark, "compare"]),
    ]),
    element("p", {}, [caseGlance(head, told.currency)]),
    ...(note ? [element("p", { class: "case-note" }, [note])] : []),
    element("p", { class: "case-stamp" }, [caseStamp(head)]),
    acts,
    papersList(id, name, told.selected),
    ...(shared && me().accounts ? [caseLinks(id, name)] : []),
    ...(shared ? [caseMeeting(id, name)] : []),
  ]);
  showActs();
  return item;

  function showActs(): void {
    const opener = told.isOpen ? element("span", { class: "case-stamp" }, ["Open now"]) : element("a", { class: "strip-button", href: pageOf(id), "aria-label": `Open ${name}` }, ["Open"]);
    const mine = shared
      ? [act("Copy link", `Copy the link to ${name}`, () => void copyLink(id, acts, told.changed))]
      : [
          act("Share…", `Share ${name}`, () => confirm("Once shared, a case never changes and cannot be deleted.", "Share and copy the link", share)),
          act("Delete…", `Delete ${name}`, () => confirm("It is deleted for good.", "Delete", remove)),
        ];
    acts.replaceChildren(opener, ...mine);
  }

  function confirm(words: string, yes: string, then: () => Promise<void>): void {
    const back = act("Not now", `Not now: ${name}`, () => {
      showActs();
      acts.querySelector<HTMLElement>("a, button")?.focus();
    });
    const go = act(yes, `${yes}: ${name}`, () => {
      go.disabled = true;
      then().catch((error: unknown) => {
        showActs();
        acts.append(element("p", { class: "hand-wrong", role: "alert" }, [error instanceof Error ? error.message : "It could not be done."]));
      });
    });
    acts.replaceChildren(element("p", {}, [words]), go, back);
    go.focus();
  }

  async function share(): Promise<void> {
    await shareCase(id);
    const copied = await copy(pageOf(id));
    told.changed(copied ? `${name} is shared, and its link copied.` : `${name} is shared. Its link: ${pageOf(id)}`);
  }

  async function remove(): Promise<void> {
    await deleteCase(id);
    told.changed(`${name} is deleted.`);
  }
}

function act(words: string, label: string, then: () => void): HTMLButtonElement {
  const button = element("button", { type: "button", class: "strip-button", "aria-label": label }, [words]);
  button.addEventListener("click", then);
  return button;
}

async function copyLink(id: string, acts: HTMLElement, told: (words: string) => void): Promise<void> {
  if (await copy(pageOf(id))) {
    told("The link is copied.");
    return;
  }
  const field = element("input", { type: "text", class: "text-field", readonly: "", "aria-label": "Link to copy" });
  field.value = pageOf(id);
  acts.append(field);
  field.select();
}

/** Whether the clipboard took it: a page that is not served securely may not write there. */
async function copy(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}
