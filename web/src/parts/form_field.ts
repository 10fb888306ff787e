// One field of a small form: its label, a hint below, and what is wrong told at the field itself.
import { element } from "./element.ts";

export interface FormField {
  readonly element: HTMLElement;
  readonly input: HTMLInputElement;
  /** "" where nothing is wrong; the focus goes there where something is. */
  readonly refuse: (words: string) => void;
}

export function formField(id: string, label: string, attributes: Readonly<Record<string, string | number>>, hint = ""): FormField {
  const told = [...(hint ? [`${id}-hint`] : []), `${id}-wrong`].join(" ");
  const input = element("input", { id, type: "text", class: "text-field", "aria-describedby": told, ...attributes });
  const wrong = element("p", { id: `${id}-wrong`, class: "form-wrong" });
  input.addEventListener("input", () => mark(""));
  const mark = (words: string): void => {
    wrong.textContent = words;
    if (words) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  };
  return {
    element: element("div", { class: "form-field" }, [
      element("label", { for: id }, [label]),
      input,
      ...(hint ? [element("p", { id: `${id}-hint`, class: "form-hint" }, [hint])] : []),
      wrong,
    ]),
    input,
    refuse: (words) => {
      mark(words);
      if (words) input.focus();
    },
  };
}

/** A box that shows what is typed into password fields. */
export function showBox(inputs: readonly HTMLInputElement[]): HTMLElement {
  const box = element("input", { type: "checkbox" });
  box.addEventListener("change", () => {
    for (const input of inputs) input.type = box.checked ? "text" : "password";
  });
  return element("label", { class: "form-check" }, [box, "Show what is typed"]);
}

/** What is said of an error, as a sentence. */
export function wordsOf(error: unknown, otherwise: string): string {
  const words = error instanceof Error && error.message ? error.message : otherwise;
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? "" : "."}`;
}
