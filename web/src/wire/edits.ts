// Reads the data as given, and sends what is to be changed. Every write carries an id made here, so
// that sending it again cannot do it twice.
import { ask } from "./ask.ts";
import type { Finding } from "./findings.ts";

/** A cell as given: null where it is blank; a place is longitude and latitude. */
export type Cell = string | number | null | readonly [number, number];
/** A whole row, where one is added or taken out. */
export type Cells = Readonly<Record<string, Cell>>;

export interface Change {
  readonly table: string;
  readonly key: string;
  /** "" for a whole row, "geometry" for its place. */
  readonly column: string;
  readonly old: Cell | Cells;
  readonly new: Cell | Cells;
}

/** Why it is changed, and what the new values rest on. */
export interface Grounds {
  readonly why: string;
  readonly by?: string;
  readonly basis?: string;
  readonly source?: string;
  readonly observed_on?: string;
}

export interface EditAsked extends Grounds {
  readonly id: string;
  readonly changes: readonly Change[];
  /** Checked and answered, not written. */
  readonly dry_run?: boolean;
}

export interface EditDone {
  readonly id: string;
  readonly seq: number | null;
  readonly at: string | null;
  readonly revision: number;
  readonly data_version: string;
  readonly repeated: boolean;
  readonly warnings: readonly Finding[];
}

/** A cell that is no longer what the edit took it to be. */
export interface Conflict {
  readonly table: string;
  readonly key: string;
  readonly column: string;
  readonly seen: Cell | Cells;
  readonly now: Cell | Cells;
  readonly by: string;
  readonly at: string;
}

export interface FieldTold {
  readonly name: string;
  readonly kind: string;
  readonly unit: string;
  readonly meaning: string;
  readonly words: readonly string[];
  readonly needed: boolean;
  readonly least: number | null;
  readonly most: number | null;
  readonly above_zero: boolean;
  /** Where what a blank means is derived: "the night's length". */
  readonly default_note: string;
}

export interface Touched {
  readonly at: string;
  readonly by: string;
  readonly why: string;
  readonly basis: string;
  readonly source: string;
}

export interface RowTold {
  readonly table: string;
  readonly key: string;
  readonly cells: Cells;
  /** What the model takes, blanks filled. */
  readonly understood: Cells;
  readonly fields: readonly FieldTold[];
  /** Who changed a column last. */
  readonly last: Readonly<Record<string, Touched>>;
}

export interface PastEdit {
  readonly id: string;
  readonly seq: number;
  readonly at: string;
  readonly by: string;
  readonly why: string;
  readonly basis: string;
  readonly source: string;
  readonly observed_on: string;
  readonly kind: string;
  readonly undoes: string;
  /** "" where it stands. */
  readonly undone_by: string;
  /** The first fifty. */
  readonly changes: readonly Change[];
  readonly change_count: number;
}

export interface EditionNow {
  readonly edition: string;
  /** Of the edition shown. */
  readonly revision: number;
  readonly latest_revision: number;
  readonly data_version: string;
  readonly changed_at: string;
  readonly working_out: boolean;
  readonly failure: string | null;
}

export interface PasteTold {
  readonly changes: readonly Change[];
  readonly unknown_columns: readonly string[];
  readonly unchanged_rows: number;
  readonly new_rows: number;
  readonly findings: readonly Finding[];
  readonly warnings: readonly Finding[];
}

export interface PlaceTold {
  readonly reach_id: string;
  readonly reach_name: string;
  readonly chainage_m: number;
  readonly distance_m: number;
  /** Further than this from a reach an offtake cannot stand. */
  readonly limit_m: number;
  readonly lon: number;
  readonly lat: number;
  readonly findings: readonly Finding[];
  /** Ready to be sent as one edit. */
  readonly changes: readonly Change[];
}

export function fetchRow(table: string, key: string): Promise<RowTold> {
  return ask(`/api/rows/${encodeURIComponent(table)}/${encodeURIComponent(key)}`);
}

export function sendEdit(edit: EditAsked, signal?: AbortSignal): Promise<EditDone> {
  return ask("/api/edits", signal, { method: "POST", body: edit });
}

export function sendUndo(editId: string, undo: { readonly id: string; readonly why: string; readonly by?: string }): Promise<EditDone> {
  return ask(`/api/edits/${encodeURIComponent(editId)}/undo`, undefined, { method: "POST", body: undo });
}

export function fetchHistory(of: { readonly table?: string; readonly key?: string; readonly before?: number; readonly limit?: number }): Promise<{ readonly edits: readonly PastEdit[]; readonly more: boolean }> {
  const words = new URLSearchParams();
  for (const [name, value] of Object.entries(of)) if (value !== undefined && value !== "") words.set(name, String(value));
  return ask(`/api/edits?${words.toString()}`);
}

/** Asked of itself, so a session that has ended is not told here. With `since`, answers once there is news after that edition, or after a while. */
export function fetchEdition(signal: AbortSignal, since = ""): Promise<EditionNow> {
  return ask(`/api/edition${since ? `?wait_s=10&since=${encodeURIComponent(since)}` : ""}`, signal, { final: true });
}

export function previewPaste(table: string, text: string): Promise<PasteTold> {
  return ask("/api/paste", undefined, { method: "POST", body: { table, text } });
}

export function previewPlace(code: string, lon: number, lat: number, signal: AbortSignal): Promise<PlaceTold> {
  return ask("/api/place", signal, { method: "POST", body: { code, lon, lat } });
}
