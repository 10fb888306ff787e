// Corrects the fields of one offtake, several in one go: checked first where wanted, saved as one edit,
// and where somebody else was first both values are put side by side.
import { type Draft, EMPTY, GEOMETRY, isBegun, keepTheirs, readDraft, rowAfter, withText } from "../core/edit_draft.ts";
import { cellWords, type Shown } from "../core/edit_fields.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { type Cell, type Change, type Conflict, type EditDone, fetchRow, type RowTold } from "../wire/edits.ts";
import type { Finding } from "../wire/findings.ts";
import { conflictBox } from "./edit_conflict.ts";
import type { Choices } from "./edit_field.ts";
import { makeFieldset, reveal } from "./edit_fieldset.ts";
import { makeGrounds } from "./edit_grounds.ts";
import { makePlacePart } from "./edit_place_part.ts";
import { makeReport } from "./edit_report.ts";
import { makeSaving } from "./edit_saving.ts";
import { element } from "./element.ts";

/** What is typed stays with whoever opened the form, so that nothing is lost when it is shut. */
export interface Kept {
  readonly draft: Draft;
  readonly shown: Shown;
}

export interface EditWays {
  readonly kept: Kept;
  readonly keep: (kept: Kept) => void;
  readonly choices: Choices;
  /** Leads to the map and comes back with a place, or without. */
  readonly move: (row: RowTold) => void;
  readonly saved: (done: EditDone, changes: readonly Change[]) => void;
}

/** `column` is the field to begin with; "" for none. */
export function mountEditForm(host: HTMLElement, code: string, column: string, ways: EditWays): Dispose {
  const waiting = element("p", { role: "status" }, ["Reading what is given…"]);
  host.append(waiting);
  let dispose: Dispose = () => waiting.remove();
  let gone = false;
  const read = (): void => {
    fetchRow("offtakes", code).then(
      (row) => {
        if (gone) return;
        waiting.remove();
        dispose = mountFields(host, row, column, ways);
      },
      (error: unknown) => {
        const again = element("button", { type: "button", class: "strip-button" }, ["Try again"]);
        again.addEventListener("click", read);
        waiting.replaceChildren(error instanceof Error ? error.message : "It cannot be read.", " ", again);
      },
    );
  };
  read();
  return () => {
    gone = true;
    dispose();
  };
}

function mountFields(host: HTMLElement, first: RowTold, column: string, ways: EditWays): Dispose {
  const { kept: { shown }, choices } = ways;
  let { draft } = ways.kept;
  let row = first;
  const undecided = new Set<string>();
  const fields = makeFieldset(row, draft, { shown, choices, column }, (field, text) => take(withText(draft, row, field, text, shown)));
  const place = makePlacePart(() => ways.move(row), () => begin({ ...draft, place: null }));
  const grounds = makeGrounds("edit", () => take({ ...draft, grounds: grounds.now() }));
  const report = makeReport();
  const check = element("button", { type: "button", class: "strip-button" }, ["Check"]);
  const save = element("button", { type: "submit", class: "strip-button edit-save" }, ["Save"]);
  const clear = element("button", { type: "button", class: "quiet" }, ["Start again"]);
  const count = element("p", { class: "edit-count", role: "status" });
  const all = element("fieldset", { class: "edit-all" }, [place.element, ...fields.groups, grounds.element]);
  const form = element("form", { class: "edit-form", novalidate: "" }, [
    all,
    element("div", { class: "edit-foot" }, [report.element, count, element("div", { class: "edit-buttons" }, [check, save, clear])]),
  ]);
  host.append(form);
  const saving = makeSaving({ report, lock, faults, clash, saved: (done, changes) => {
    take(EMPTY);
    ways.saved(done, changes);
  } });

  function take(next: Draft): void {
    draft = next;
    ways.keep({ draft, shown });
    const { length } = readDraft(draft, row, shown).changes;
    const words = length === 0 ? "Nothing is changed yet." : length === 1 ? "1 change." : `${length} changes.`;
    if (count.textContent !== words) count.textContent = words;
    clear.hidden = !isBegun(draft);
  }

  /** Shows a draft from its beginning. */
  function begin(next: Draft): void {
    take(next);
    fields.show(row, draft);
    grounds.show(draft.grounds);
    place.show(draft.place);
  }

  /** What can be sent; null where something is to be put right first. */
  function changesToSend(): readonly Change[] | null {
    const { changes, wrong } = readDraft(draft, row, shown);
    fields.refuse(wrong);
    if (Object.keys(wrong).length) report.warn("Put right what is marked first.");
    else if (!changes.length) report.warn("Nothing is changed yet.");
    else if (undecided.size) report.warn("Choose first between theirs and mine where both stand.");
    else return changes;
    return null;
  }

  async function send(dry: boolean): Promise<void> {
    if (all.disabled) return; // pressed twice
    const changes = changesToSend();
    if (!changes) return;
    if (dry) await saving.check(changes, grounds.asked());
    else if (grounds.lacksWhy()) report.warn("");
    else await saving.save(changes, grounds.asked());
  }

  function lock(on: boolean): void {
    const held = document.activeElement;
    all.disabled = on;
    for (const button of [check, save, clear]) button.disabled = on;
    if (!on && held === document.body) save.focus();
  }

  function faults(findings: readonly Finding[]): void {
    const here = (each: Finding): boolean => each.table === row.table && each.key === row.key && fields.box(each.column) !== undefined;
    report.warn("It cannot be saved like this.", findings.filter((each) => !here(each)));
    fields.refuse(Object.fromEntries(findings.filter(here).map(({ column: name, remedy }) => [name, remedy])));
  }

  function clash(conflicts: readonly Conflict[]): void {
    const mine = new Map(readDraft(draft, row, shown).changes.map((change) => [change.column, change.new as Cell]));
    row = rowAfter(row, conflicts);
    begin(draft);
    report.warn("Somebody else was first, so nothing was written. Choose at each field.");
    const boxes = conflicts.map((conflict) => oneConflict(conflict, mine.get(conflict.column)));
    const button = boxes[0]?.querySelector("button");
    if (button) reveal(button);
  }

  function oneConflict(conflict: Conflict, mine: Cell | undefined): HTMLElement {
    const { column: name } = conflict;
    const at = fields.box(name);
    const words = (value: unknown): string => cellWords(at?.field, value as Cell, shown);
    undecided.add(name);
    const box = conflictBox({ conflict, seen: words(conflict.seen), now: words(conflict.now), mine: words(mine) }, (choice) => {
      undecided.delete(name);
      begin(choice === "theirs" ? keepTheirs(draft, name) : draft);
      if (undecided.size) return;
      report.say("Chosen. Save again.");
      save.focus();
    });
    (at?.aside ?? place.aside).replaceChildren(box);
    return box;
  }

  function restart(): void {
    undecided.clear();
    for (const aside of form.querySelectorAll(".edit-aside")) aside.replaceChildren();
    report.say("");
    begin(EMPTY);
    fields.groups[0]?.querySelector("summary")?.focus();
  }

  begin(draft);
  const input = fields.box(column)?.input;
  if (input) {
    reveal(input);
    input.scrollIntoView({ block: "center" });
  } else if (column === GEOMETRY) place.focus();
  return together([
    fields.dispose,
    grounds.dispose,
    listen(check, "click", () => void send(true)),
    listen(form, "submit", (event) => {
      event.preventDefault();
      void send(false);
    }),
    listen(clear, "click", restart),
    () => form.remove(),
  ]);
}
