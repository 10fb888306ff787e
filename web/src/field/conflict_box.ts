// Two phones wrote different things: both stand side by side with who and when, until somebody chooses and says why.
import { element } from "../parts/element.ts";
import { type Form, fetchNotes, sendChoice } from "../wire/field.ts";
import type { Contested, Note } from "../wire/notes.ts";
import { keepTold } from "./notebook.ts";
import { button } from "./parts.ts";
import { freshId } from "./random.ts";
import { asTyped, inWords } from "./understood.ts";
import { byName } from "./who.ts";
import { timeWords } from "./words.ts";

export function makeConflictBox({ code, field, notes }: Contested, form: Form | undefined, runId: string, mine: string): HTMLElement {
  const id = freshId(); // one choice, however often it is sent
  const why = element("input", { type: "text", id: `why-${code}-${field}`, class: "typed", maxlength: 1000, autocomplete: "off" });
  const told = element("p", { class: "fault", role: "alert" });
  const whose = (note: Note): string => (note.phone === mine ? "this phone" : note.by);
  const ownFirst = [...notes].sort((a, b) => Number(b.phone === mine) - Number(a.phone === mine));
  const sides = ownFirst.map((note) =>
    element("div", { class: "side" }, [
      element("p", { class: "side-value" }, [asTyped(note)]),
      ...(note.unit ? [element("p", { class: "side-si" }, [inWords(form, note.value, form?.units[0] ?? note.unit)])] : []),
      element("p", {}, [`${whose(note)}${note.phone === mine ? ` (${note.by})` : ""}`, element("br"), timeWords(note.at)]),
      button(`Take ${asTyped(note)}`, "", () => void choose(note)),
    ]),
  );

  async function choose(note: Note): Promise<void> {
    if (why.value.trim() === "") {
      told.textContent = "Say why this one, in a few words.";
      why.focus();
      return;
    }
    told.textContent = "";
    try {
      await sendChoice({ id, note_ids: notes.map((each) => each.id), pick: note.id, by: byName(), why: why.value.trim() });
      await keepTold(runId, await fetchNotes(runId));
    } catch (error) {
      told.textContent = `${error instanceof Error ? error.message : "That did not work."} Both notes stay as they are.`;
    }
  }

  return element("div", { class: "conflict", role: "group", "aria-label": `${form?.label ?? field}: two notes that disagree` }, [
    element("p", { class: "conflict-head" }, ["These notes disagree. Nothing is lost; which one stands?"]),
    element("div", { class: "sides" }, sides),
    element("label", { for: why.id }, ["Why this one"]),
    why,
    told,
  ]);
}

