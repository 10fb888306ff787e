// The fields of a row in groups that unfold, each with what is given, typed and wrong.
import type { Draft } from "../core/edit_draft.ts";
import { fieldGroups, fieldText, type Shown } from "../core/edit_fields.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { FieldTold, RowTold } from "../wire/edits.ts";
import { type Choices, type FieldBox, makeField } from "./edit_field.ts";
import { element } from "./element.ts";

export interface Fieldset {
  readonly groups: readonly HTMLElement[];
  readonly box: (column: string) => FieldBox | undefined;
  /** Says what is given, and what the draft has typed instead. */
  readonly show: (row: RowTold, draft: Draft) => void;
  /** Says by column what would be right, and leads to the first. */
  readonly refuse: (wrong: Readonly<Record<string, string>>) => void;
  readonly dispose: Dispose;
}

export interface FieldsetTold {
  readonly shown: Shown;
  readonly choices: Choices;
  /** Unfolded at first. */
  readonly column: string;
}

export function makeFieldset(row: RowTold, draft: Draft, { shown, choices, column }: FieldsetTold, typed: (field: FieldTold, text: string) => void): Fieldset {
  const boxes = new Map<string, FieldBox>();
  const groups = fieldGroups(row.fields).map(({ title, fields }, at) => {
    const made = fields.map((field) => {
      const box = makeField(field, { shown, understood: row.understood[field.name], last: row.last[field.name], choices });
      boxes.set(field.name, box);
      return box.element;
    });
    const group = element("details", { class: "edit-group" }, [element("summary", {}, [title]), element("div", { class: "edit-fields" }, made)]);
    group.open = (at === 0 && column === "") || fields.some(({ name }) => name === column || draft.texts[name] !== undefined);
    return group;
  });

  function refuse(wrong: Readonly<Record<string, string>>): void {
    for (const [name, box] of boxes) box.refuse(wrong[name] ?? "");
    const first = [...boxes.values()].find(({ field }) => wrong[field.name] !== undefined);
    if (first) reveal(first.input);
  }

  const dispose = together([...boxes.values()].map(({ input, field, refuse: say }) =>
    listen(input as HTMLElement, "input", () => {
      say("");
      typed(field, input.value);
    }),
  ));
  return {
    groups,
    box: (name) => boxes.get(name),
    show: (now, typedNow) => {
      for (const [name, box] of boxes) {
        box.show(now.cells[name], typedNow.texts[name] ?? fieldText(box.field, now.cells[name], shown));
        box.refuse("");
        box.input.disabled = typedNow.place !== null && name in typedNow.place.values;
      }
    },
    refuse,
    dispose,
  };
}

/** Unfolds what hides it and puts the focus there. */
export function reveal(input: HTMLElement): void {
  const group = input.closest("details");
  if (group) group.open = true;
  input.focus();
}
