// What has been typed into the form of one row and not yet saved: which cells it would change, what is
// wrong with it, and what was decided where somebody else was first.
import type { Cell, Cells, Change, Conflict, FieldTold, Grounds, RowTold } from "../wire/edits.ts";
import { fieldText, type Shown, typedCell } from "./edit_fields.ts";

export interface Draft {
  /** What was typed, by column; only fields that were touched. */
  readonly texts: Readonly<Record<string, string>>;
  /** A place chosen on the map, with what follows from it. */
  readonly place: Place | null;
  readonly grounds: Required<Omit<Grounds, "by">>;
}

/** What moving it there changes, by column; reach and chainage are among it where they are given. */
export interface Place {
  readonly values: Cells;
  readonly words: string;
}

export const NO_GROUNDS = { why: "", basis: "", source: "", observed_on: "" } as const;
export const EMPTY: Draft = { texts: {}, place: null, grounds: NO_GROUNDS };
export const GEOMETRY = "geometry";

/** Whether anything would be lost if it were thrown away. */
export function isBegun(draft: Draft): boolean {
  return draft.place !== null || Object.keys(draft.texts).length > 0 || Object.values(draft.grounds).some((each) => each.trim() !== "");
}

/** The draft with one field as it was just typed; a field typed back to what it was is untouched. */
export function withText(draft: Draft, row: RowTold, field: FieldTold, text: string, shown: Shown): Draft {
  const texts = { ...draft.texts, [field.name]: text };
  if (text === fieldText(field, row.cells[field.name], shown)) delete texts[field.name];
  return { ...draft, texts };
}

export interface Read {
  readonly changes: readonly Change[];
  /** By column: what would be right. */
  readonly wrong: Readonly<Record<string, string>>;
}

/** What a draft would change; values that come to the same as before are no change. */
export function readDraft(draft: Draft, row: RowTold, shown: Shown): Read {
  const wrong: Record<string, string> = {};
  const next = new Map<string, Cell>();
  for (const field of row.fields) {
    const text = draft.texts[field.name];
    if (text === undefined) continue;
    const typed = typedCell(field, text, shown);
    if ("wrong" in typed) wrong[field.name] = typed.wrong;
    else next.set(field.name, typed.value);
  }
  for (const [column, value] of Object.entries(draft.place?.values ?? {})) {
    next.set(column, value);
    delete wrong[column];
  }
  const changes = [...next]
    .map(([column, value]): Change => ({ table: row.table, key: row.key, column, old: row.cells[column] ?? null, new: value }))
    .filter((change) => !sameCell(change.old, change.new));
  return { changes, wrong };
}

export function sameCell(one: Cell | Cells, other: Cell | Cells): boolean {
  if (one === "" || other === "") return (one || null) === (other || null);
  return one === other || JSON.stringify(one) === JSON.stringify(other);
}

/** The row as it stands now, after somebody else's change was heard of. */
export function rowAfter(row: RowTold, conflicts: readonly Conflict[]): RowTold {
  const mine = conflicts.filter(({ table, key }) => table === row.table && key === row.key);
  const now = Object.fromEntries(mine.map(({ column, now: value }) => [column, value as Cell]));
  return { ...row, cells: { ...row.cells, ...now } };
}

/** Theirs is kept: what was typed there is dropped. */
export function keepTheirs(draft: Draft, column: string): Draft {
  const texts = Object.fromEntries(Object.entries(draft.texts).filter(([each]) => each !== column));
  return { ...draft, texts, place: draft.place && column in draft.place.values ? null : draft.place };
}
