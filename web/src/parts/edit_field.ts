// One field of the edit form: its name and unit, the value as given, what a blank means, what was there
// before, and what is wrong with what was typed.
import type { Cell, FieldTold, Touched } from "../wire/edits.ts";
import { cellWords, fieldName, fieldText, fieldUnit, isNumber, type Shown } from "../core/edit_fields.ts";
import { moment } from "../core/numbers.ts";
import { element } from "./element.ts";

export interface FieldBox {
  readonly field: FieldTold;
  readonly element: HTMLElement;
  readonly input: HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;
  /** Shows a value, which is then what it was before. */
  readonly show: (given: Cell | undefined, text: string) => void;
  readonly refuse: (words: string) => void;
  /** Where two values are to choose from. */
  readonly aside: HTMLElement;
}

/** Values to pick from where a field names a row of another table. */
export type Choices = Readonly<Record<string, readonly (readonly [value: string, words: string])[]>>;

export interface FieldSeen {
  readonly shown: Shown;
  readonly understood: Cell | undefined;
  readonly last: Touched | undefined;
  readonly choices: Choices;
}

export function makeField(field: FieldTold, seen: FieldSeen): FieldBox {
  const id = `edit-${field.name}`;
  const [hint, wrong] = [element("p", { id: `${id}-hint`, class: "edit-hint" }), element("p", { id: `${id}-wrong`, class: "edit-wrong" })];
  const input = control(field, id, seen);
  input.setAttribute("aria-describedby", `${wrong.id} ${hint.id}`);
  const unit = fieldUnit(field, seen.shown);
  const label = element("label", { for: id }, [fieldName(field), ...(unit ? [element("span", { class: "edit-unit" }, [`, ${unit}`])] : [])]);
  const aside = element("div", { class: "edit-aside" });
  const box = element("div", { class: "edit-field", "data-column": field.name }, [label, input, wrong, hint, aside]);
  let given: Cell | undefined;

  function hintWords(): string {
    const before = fieldText(field, given, seen.shown);
    if (input.value !== before) return `was ${cellWords(field, given, seen.shown)}`;
    if (before === "") return blankWords(field, seen);
    return seen.last ? `changed by ${seen.last.by}, ${moment(seen.last.at)}` : "";
  }

  function say(): void {
    hint.textContent = hintWords();
    box.classList.toggle("edit-changed", input.value !== fieldText(field, given, seen.shown));
  }

  input.addEventListener("input", say);
  return {
    field,
    element: box,
    input,
    aside,
    show: (value, text) => {
      given = value;
      offer(input, text);
      input.value = text;
      say();
    },
    refuse: (words) => {
      wrong.textContent = words;
      if (words) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    },
  };
}

function blankWords(field: FieldTold, { understood, shown }: FieldSeen): string {
  const note = field.default_note ? ` (${field.default_note})` : "";
  if (understood === null || understood === undefined || understood === "") return `blank: not known${note}`;
  return `blank: taken as ${cellWords(field, understood, shown)}${note}`;
}

function control(field: FieldTold, id: string, { choices }: FieldSeen): HTMLInputElement | HTMLSelectElement {
  const picks = choices[field.name] ?? (field.words.length && field.kind === "word" ? field.words.map((word) => [word, word.replaceAll("_", " ")] as const) : null);
  if (picks) {
    const blank = field.needed ? [] : [element("option", { value: "" }, ["blank"])];
    return element("select", { id, class: "text-field" }, [...blank, ...picks.map(([value, words]) => element("option", { value }, [words]))]);
  }
  const kind = field.kind === "date" ? "date" : "text";
  return element("input", { id, type: kind, class: "text-field", autocomplete: "off", spellcheck: "false", ...(isNumber(field) ? { inputmode: "decimal" } : {}) });
}

/** A value that is none of the choices stands among them all the same: it is what is given. */
function offer(input: FieldBox["input"], value: string): void {
  if (!(input instanceof HTMLSelectElement) || [...input.options].some((each) => each.value === value)) return;
  input.append(element("option", { value }, [value === "" ? "blank" : value]));
}
