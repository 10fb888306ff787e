// What was typed into forms that were shut by accident or gave way to new data: it is there again when the
// form is opened again, as long as the page lives.
import { type Dispose, listen } from "../core/dispose.ts";

type Field = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;
const FIELDS = "input:not([type=file]):not([autocomplete=name]), select, textarea";

export interface KeptForm {
  /** It was sent: nothing of it is kept. */
  readonly forget: () => void;
  readonly dispose: Dispose;
}

export class KeptForms {
  readonly #typed = new Map<string, Map<string, string>>();

  /** Whether something would be lost with the page. */
  get hasAny(): boolean {
    return this.#typed.size > 0;
  }

  /** Fills a form with what was typed into the one of that name, and keeps what is typed from now on. */
  keep(form: HTMLElement, name: string): KeptForm {
    for (const field of fieldsOf(form)) field.value = this.#typed.get(name)?.get(field.id) ?? field.value;
    const dispose = listen(form, "input", ({ target }) => {
      const field = fieldsOf(form).find((each) => each === target);
      if (!field) return;
      const typed = this.#typed.get(name) ?? new Map<string, string>();
      this.#typed.set(name, typed.set(field.id, field.value));
    });
    return { dispose, forget: () => void this.#typed.delete(name) };
  }
}

function fieldsOf(form: HTMLElement): Field[] {
  return [...form.querySelectorAll<Field>(FIELDS)];
}
