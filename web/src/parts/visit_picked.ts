// Sites that are seen whatever they are worth, and sites nobody goes to: named by code, taken off by a button.
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { VisitForm } from "../core/visit_form.ts";
import { element } from "./element.ts";

export interface PickedWays {
  readonly codes: readonly string[];
  readonly selected: () => string;
  readonly now: () => VisitForm;
  readonly keep: (form: VisitForm) => void;
}

const KINDS = [
  ["must", "See it in any case", "Seen in any case"],
  ["never", "Leave it out", "Left out"],
] as const;

export function mountPickedSites(host: HTMLElement, { codes, selected, now, keep }: PickedWays): Dispose {
  const known = element("datalist", { id: "visit-codes" }, codes.map((code) => element("option", { value: code })));
  const code = element("input", { id: "visit-code", type: "text", class: "text-field", list: known.id, autocomplete: "off", spellcheck: "false", "aria-describedby": "visit-code-wrong" });
  const wrong = element("p", { id: "visit-code-wrong", class: "edit-wrong", role: "alert" });
  const lists = element("div", { class: "visit-picked" });
  const buttons = KINDS.map(([kind, words]) => {
    const button = element("button", { type: "button", class: "strip-button" }, [words]);
    button.addEventListener("click", () => add(kind));
    return button;
  });
  const shell = element("div", { class: "visit-sites" }, [
    known,
    element("label", { for: code.id }, ["A site to see in any case, or to leave out"]),
    element("div", { class: "edit-buttons" }, [code, ...buttons]),
    wrong,
    lists,
  ]);
  host.append(shell);
  code.value = selected();

  function refuse(words: string): void {
    wrong.textContent = words;
    if (!words) return code.removeAttribute("aria-invalid");
    code.setAttribute("aria-invalid", "true");
    code.focus();
  }

  function add(kind: "must" | "never"): void {
    const typed = code.value.trim().toUpperCase();
    const found = codes.find((each) => each.toUpperCase() === typed);
    if (!found) return refuse(typed ? `No offtake is called ${code.value.trim()}.` : "Type the code of an offtake first.");
    const other = kind === "must" ? "never" : "must";
    const form = now();
    keep({ ...form, [kind]: [...new Set([...form[kind], found])], [other]: form[other].filter((each) => each !== found) });
    code.value = "";
    refuse("");
    code.focus();
    show();
  }

  function drop(kind: "must" | "never", which: string): void {
    const form = now();
    keep({ ...form, [kind]: form[kind].filter((each) => each !== which) });
    show();
    (lists.querySelector<HTMLElement>("button") ?? code).focus();
  }

  function show(): void {
    const form = now();
    lists.replaceChildren(...KINDS.filter(([kind]) => form[kind].length).map(([kind, , words]) =>
      element("p", {}, [`${words}: `, ...form[kind].map((each) => {
        const off = element("button", { type: "button", class: "visit-chip", "aria-label": `${each}: ${words.toLowerCase()}; take it off` }, [each, element("span", { "aria-hidden": "true" }, [" ×"])]);
        off.addEventListener("click", () => drop(kind, each));
        return off;
      })]),
    ));
  }

  show();
  return together([
    listen(code, "input", () => refuse("")),
    listen(code, "keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      add("must");
    }),
    () => shell.remove(),
  ]);
}
