// Who changed what, when and why; of one offtake or of everything. Any change can be undone, which is a
// change of its own with a reason of its own.
import { cellWords, type Shown } from "../core/edit_fields.ts";
import { Sender } from "../core/edit_send.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { longDate, moment } from "../core/numbers.ts";
import { given } from "../core/paste_preview.ts";
import { columnWords } from "../core/why_words.ts";
import { type Cell, type Change, type Conflict, type EditDone, fetchHistory, type FieldTold, type PastEdit, sendUndo } from "../wire/edits.ts";
import { whoWhen } from "./edit_conflict.ts";
import { makeGrounds } from "./edit_grounds.ts";
import type { KeptForms } from "./edit_kept.ts";
import { makeReport } from "./edit_report.ts";
import { element } from "./element.ts";

export interface HistoryWays {
  readonly kept: KeptForms;
  /** Fields by name, for units; empty where they are not known. */
  readonly fields: ReadonlyMap<string, FieldTold>;
  readonly shown: Shown;
  readonly undone: (done: EditDone, changes: readonly Change[]) => void;
}

const PAGE = 25;
const MOST_SHOWN = 8;

/** `code` narrows it to one offtake; "" shows everything. */
export function mountHistory(host: HTMLElement, code: string, ways: HistoryWays): Dispose {
  const list = element("ol", { class: "edit-past" });
  const told = element("p", { role: "status" }, ["Reading the history…"]);
  const more = element("button", { type: "button", class: "strip-button" }, ["Show older ones"]);
  more.hidden = true;
  const shell = element("div", {}, [list, told, more]);
  host.append(shell);
  let before: number | undefined;
  let gone = false;

  function read(): void {
    more.disabled = true;
    const of = { limit: PAGE, ...(code ? { table: "offtakes", key: code } : {}), ...(before === undefined ? {} : { before }) };
    fetchHistory(of).then(
      ({ edits, more: hasMore }) => {
        if (gone) return;
        list.append(...edits.map((edit) => pastEdit(edit, ways)));
        before = edits[edits.length - 1]?.seq ?? before;
        told.textContent = list.children.length ? "" : code ? `Nothing of ${code} has been changed here.` : "Nothing has been changed here yet.";
        more.hidden = !hasMore;
        more.disabled = false;
      },
      (error: unknown) => {
        told.textContent = error instanceof Error ? error.message : "The history cannot be read.";
        more.hidden = more.disabled = false;
      },
    );
  }

  read();
  return together([
    listen(more, "click", read),
    () => {
      gone = true;
      shell.remove();
    },
  ]);
}

/** A file by the file before it, a step of an offer by its next step. */
const TAKEN_BACK_OTHERWISE = ["import", "follow_up"];
const KIND_WORDS: Readonly<Record<string, string>> = { edit: "Changed", import: "Imported", undo: "Undone", follow_up: "Offer" };

function pastEdit(edit: PastEdit, ways: HistoryWays): HTMLElement {
  const rests = [edit.basis, edit.source, edit.observed_on ? `seen on ${longDate(edit.observed_on)}` : ""].filter(Boolean).join(", ");
  const undone = edit.undone_by !== "";
  const one = element("li", { class: `edit-one${undone ? " edit-undone" : ""}`, "data-edit": edit.id }, [
    element("p", { class: "edit-when" }, [`${KIND_WORDS[edit.kind] ?? edit.kind} by ${edit.by}, ${moment(edit.at)}${undone ? "; undone since" : ""}`]),
    element("p", { class: "edit-reason" }, [edit.why]),
    ...(rests ? [element("p", { class: "why-note" }, [`Rests on: ${rests}.`])] : []),
    changesOf(edit, ways),
  ]);
  if (!undone && !TAKEN_BACK_OTHERWISE.includes(edit.kind)) one.append(undoPart(edit, ways));
  return one;
}

function changesOf({ changes, change_count: count }: PastEdit, ways: HistoryWays): HTMLElement {
  const lines = changes.map((change) => element("li", {}, [changeWords(change, ways)]));
  const rest = count - changes.length;
  const list = (items: readonly HTMLElement[]): HTMLElement => element("ul", { class: "edit-changes" }, items);
  if (lines.length <= MOST_SHOWN) return list([...lines, ...restLine(rest)]);
  return element("details", { class: "why-details" }, [element("summary", {}, [`${count} changes`]), list([...lines, ...restLine(rest)])]);
}

function restLine(rest: number): HTMLElement[] {
  return rest > 0 ? [element("li", {}, [`and ${rest} more`])] : [];
}

/** "B-031, largest draw: 42 ML/d to 45 ML/d". */
export function changeWords({ table, key, column, old, new: next }: Change, { fields, shown }: Pick<HistoryWays, "fields" | "shown">): string {
  const field = table === "offtakes" ? fields.get(column) : undefined;
  const words = (value: Change["old"]): string => (field || column === "geometry" ? cellWords(field, value as Cell, shown) : given(value));
  const where = table === "offtakes" ? key : `${table} ${key}`.trim();
  if (column === "") return old === null ? `${where} added` : next === null ? `${where} taken out` : where;
  if (table === "catchment") return "settings of the catchment";
  const name = column === "geometry" ? "its place" : field ? columnWords(field.meaning) : columnWords(column);
  return `${where}, ${name}: ${words(old)} to ${words(next)}`;
}

function undoPart(edit: PastEdit, ways: HistoryWays): HTMLElement {
  const part = element("div", { class: "edit-undo" });
  const begin = element("button", { type: "button", class: "quiet" }, ["Undo", element("span", { class: "unseen" }, [` what ${edit.by} changed, ${moment(edit.at)}`])]);
  part.append(begin);
  begin.addEventListener("click", () => {
    const leave = (): void => {
      form.remove();
      begin.hidden = false;
      begin.focus();
    };
    const form = undoForm(edit, ways, leave);
    begin.hidden = true;
    part.append(form);
    form.querySelector("textarea")?.focus();
  });
  return part;
}

function undoForm(edit: PastEdit, ways: HistoryWays, leave: () => void): HTMLElement {
  const grounds = makeGrounds(`undo-${edit.seq}`, () => undefined, true);
  const report = makeReport();
  const go = element("button", { type: "submit", class: "strip-button edit-save" }, ["Undo it"]);
  const not = element("button", { type: "button", class: "quiet" }, ["Leave it"]);
  const form = element("form", { class: "edit-undo-form", novalidate: "" }, [grounds.element, report.element, element("div", { class: "edit-buttons" }, [go, not])]);
  const kept = ways.kept.keep(form, `undo ${edit.id}`);
  const sender = new Sender<{ why: string }, EditDone>((asked) => sendUndo(edit.id, asked));
  not.addEventListener("click", leave);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (go.disabled || grounds.lacksWhy()) return;
    go.disabled = true;
    report.say("Undoing…");
    void sender.send(grounds.asked()).then((sent) => {
      go.disabled = false;
      if (sent.state === "done") {
        kept.forget();
        ways.undone(sent.done, edit.changes);
      } else if (sent.state === "unknown") report.warn("No answer came. Undo it again: it will not be done twice.");
      else report.warn(undoTrouble(sent.error.told["conflicts"], sent.error.message, ways));
    });
  });
  return form;
}

/** What has been changed since stands in the way of undoing. */
function undoTrouble(conflicts: unknown, message: string, ways: HistoryWays): string {
  if (!Array.isArray(conflicts)) return message;
  const told = (conflicts as Conflict[]).map((each) => {
    const field = ways.fields.get(each.column);
    const now = field ? cellWords(field, each.now as Cell, ways.shown) : given(each.now);
    return `${each.key}, ${columnWords(each.column)} is ${now} now${whoWhen(each)}`;
  });
  return `Changed again since, so it cannot be undone by itself: ${told.join("; ")}. Correct it in the why panel instead.`;
}
