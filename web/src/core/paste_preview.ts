// What a pasted table would change: rows with old and new values, columns nobody knows with the nearest
// name that is known, and how much of it all there is.
import type { Change, PasteTold } from "../wire/edits.ts";
import type { Finding } from "../wire/findings.ts";

export interface PreviewRow {
  readonly key: string;
  readonly isNew: boolean;
  readonly cells: readonly PreviewCell[];
}

export interface PreviewCell {
  readonly column: string;
  readonly old: string;
  readonly new: string;
  /** What is wrong there; "" where nothing is. */
  readonly wrong: string;
}

/** Rows in the order pasted, with the faults in their places. */
export function previewRows(changes: readonly Change[], findings: readonly Finding[]): PreviewRow[] {
  const rows = new Map<string, { isNew: boolean; cells: PreviewCell[] }>();
  for (const change of changes) {
    const row = rows.get(change.key) ?? { isNew: false, cells: [] };
    rows.set(change.key, row);
    if (change.column !== "") row.cells.push(cell(change.key, change.column, change.old, change.new, findings));
    else {
      row.isNew = change.old === null;
      const whole = (change.new ?? change.old ?? {}) as Readonly<Record<string, unknown>>;
      for (const [column, value] of Object.entries(whole)) {
        if (value !== null && value !== "") row.cells.push(cell(change.key, column, null, change.new === null ? null : value, findings));
      }
    }
  }
  return [...rows].map(([key, { isNew, cells }]) => ({ key, isNew, cells }));
}

function cell(key: string, column: string, old: unknown, next: unknown, findings: readonly Finding[]): PreviewCell {
  const wrong = findings.filter((each) => each.key === key && each.column === column).map(({ remedy }) => remedy);
  return { column, old: given(old), new: given(next), wrong: wrong.join("; ") };
}

/** A value as given; "blank" where there is none. */
export function given(value: unknown): string {
  if (value === null || value === undefined || value === "") return "blank";
  return Array.isArray(value) ? value.join(", ") : typeof value === "object" ? JSON.stringify(value) : String(value);
}

/** Faults that belong to no cell of the preview. */
export function faultsElsewhere(rows: readonly PreviewRow[], findings: readonly Finding[]): Finding[] {
  const shown = new Set(rows.flatMap(({ key, cells }) => cells.map(({ column }) => `${key} ${column}`)));
  return findings.filter(({ key, column }) => !shown.has(`${key} ${column}`));
}

/** "12 changes in 9 rows, 2 rows new; 30 rows stay as they are." */
export function previewCounts(told: PasteTold, rows: readonly PreviewRow[]): string {
  const cells = rows.filter(({ isNew }) => !isNew).reduce((sum, each) => sum + each.cells.length, 0);
  const old = rows.filter(({ isNew }) => !isNew).length;
  const parts = [
    ...(cells ? [`${counted(cells, "change")} in ${counted(old, "row")}`] : []),
    ...(told.new_rows ? [`${counted(told.new_rows, "row")} new`] : []),
  ];
  const same = told.unchanged_rows ? `${counted(told.unchanged_rows, "row")} ${told.unchanged_rows === 1 ? "stays as it is" : "stay as they are"}.` : "";
  return [parts.length ? `${parts.join(", ")}.` : "Nothing would change.", same].filter(Boolean).join(" ");
}

export function counted(count: number, noun: string): string {
  return `${count.toLocaleString("en-GB")} ${noun}${count === 1 ? "" : "s"}`;
}

/** Letters that a word in common is worth. */
const WORD_WORTH = 5;

/** The known name nearest to what was written, words in any order; null where none is near. */
export function nearestName(written: string, known: readonly string[]): string | null {
  const sought = plain(written);
  const words = wordsOf(written);
  const scored = known.map((name) => {
    const shared = wordsOf(name).filter((word) => words.includes(word)).length;
    return { name, away: distance(sought, plain(name)) - WORD_WORTH * shared };
  });
  const best = scored.reduce((one, other) => (other.away < one.away ? other : one), { name: "", away: Infinity });
  return best.away <= Math.max(2, sought.length / 2) ? best.name : null;
}

function plain(name: string): string {
  return name.toLowerCase().replace(/[^a-z0-9]/g, "");
}

function wordsOf(name: string): string[] {
  return name.toLowerCase().split(/[^a-z0-9]+/).filter((word) => word.length > 2);
}

/** Letters to change, add or take out to make one word the other. */
function distance(one: string, other: string): number {
  let row = Array.from({ length: other.length + 1 }, (_, i) => i);
  for (let i = 1; i <= one.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= other.length; j += 1) {
      const change = (row[j - 1] ?? 0) + (one[i - 1] === other[j - 1] ? 0 : 1);
      next.push(Math.min(change, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[other.length] ?? 0;
}
