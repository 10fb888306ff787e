// One note beside the register: what stands there, what would, who wrote it and how it was typed; the value can
// be changed before it is taken over.
import { cellWords, fieldText, fieldUnit, isNumber, type Shown, typedCell } from "../core/edit_fields.ts";
import { noteLabel, registerWords, typedWords, writtenWords } from "../core/proposal_words.ts";
import type { FieldTold } from "../wire/edits.ts";
import type { Pick, Proposal } from "../wire/proposals.ts";
import { element } from "./element.ts";
import { photosPart } from "./visit_photos.ts";

export interface ProposalWays {
  readonly field: FieldTold | undefined;
  readonly shown: Shown;
  /** Screens by id and name. */
  readonly options: readonly (readonly [string, string])[];
  readonly changed: () => void;
}

export interface ProposalBox {
  readonly id: string;
  readonly code: string;
  readonly element: HTMLElement;
  readonly isPicked: () => boolean;
  readonly put: (picked: boolean) => void;
  /** Null where what was typed is wrong, which is then said at the field. */
  readonly pick: () => Pick | null;
}

export function proposalBox(told: Proposal, { field, shown, options, changed }: ProposalWays): ProposalBox {
  const { note, register, proposed } = told;
  const id = `note-${note.id}`;
  const picked = element("input", { type: "checkbox", id, "aria-label": `Take over: ${note.code}, ${told.label}` });
  picked.checked = told.ticked;
  picked.addEventListener("change", changed);
  const wrong = element("p", { id: `${id}-wrong`, class: "edit-wrong" });
  const input = control();
  const first = field ? fieldText(field, proposed, shown) : String(proposed ?? "");
  offer(input, first);
  input.value = first;
  input.addEventListener("input", () => {
    refuse("");
    if (input.value !== "") picked.checked = true;
    changed();
  });
  const unit = field && isNumber(field) ? fieldUnit(field, shown) : "";
  const box = element("div", { class: "visit-proposal", role: "group", "aria-label": `${note.code}: ${told.label}` }, [
    element("label", { class: "visit-pick", for: id }, [picked, told.label]),
    element("div", { class: "visit-beside-register" }, [
      element("div", {}, [element("span", { class: "visit-small" }, ["In the register"]), element("span", {}, [registerWords(register, field, shown, told.register_by, told.register_at)])]),
      element("div", {}, [element("label", { class: "visit-small", for: input.id }, [`Taken over as${unit ? `, ${unit}` : ""}`]), input, wrong]),
    ]),
    element("p", { class: "why-note" }, [`Typed `, element("strong", {}, [typedWords(note)]), ` by ${writtenWords(note)}; run ${told.run_name}.`]),
    ...told.beside.map((each) => element("p", { class: "why-note" }, [`${noteLabel(each.field)}: ${typedWords(each)} (${writtenWords(each)}).`])),
    ...(told.words ? [element("p", { class: "visit-words" }, [sentence(told.words)])] : []),
    ...(told.photos.length ? [photosPart(told.photos, note.code)] : []),
  ]);

  function control(): HTMLInputElement | HTMLSelectElement {
    const given = { id: `${id}-value`, class: "text-field", "aria-describedby": `${id}-wrong` };
    const picks = told.column === "fitted" ? [["none", "none"] as const, ...options] : field?.words.length && field.kind === "word" ? field.words.map((word) => [word, word.replaceAll("_", " ")] as const) : null;
    if (picks) return element("select", given, picks.map(([value, words]) => element("option", { value }, [words])));
    return element("input", { ...given, type: "text", autocomplete: "off", spellcheck: "false", ...(field && isNumber(field) ? { inputmode: "decimal" } : {}) });
  }

  function refuse(words: string): void {
    wrong.textContent = words;
    if (words) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  }

  return {
    id: note.id,
    code: note.code,
    element: box,
    isPicked: () => picked.checked,
    put: (on) => {
      picked.checked = on;
    },
    pick: () => {
      const seen = { note_id: note.id, seen: register };
      if (input.value === first && proposed !== null) return seen;
      const typed = field ? typedCell(field, input.value, shown) : { value: input.value.trim() };
      const value = "value" in typed ? typed.value : null;
      if ("wrong" in typed || value === null || value === "" || typeof value === "object") {
        refuse("wrong" in typed ? typed.wrong : `Say what is to stand there; now it is ${cellWords(field, register, shown)}.`);
        input.focus();
        return null;
      }
      return { ...seen, value };
    },
  };
}

function offer(input: HTMLInputElement | HTMLSelectElement, value: string): void {
  if (!(input instanceof HTMLSelectElement) || [...input.options].some((each) => each.value === value)) return;
  input.prepend(element("option", { value }, [value === "" ? "choose" : value]));
}

function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? "" : "."}`;
}
