// Notes from the field in words: what was typed, by whom and when, and the value beside that of the register.
import type { Note, NoteValue } from "../wire/notes.ts";
import type { FieldTold } from "../wire/edits.ts";
import { cellWords, type Shown } from "./edit_fields.ts";
import { moment } from "./numbers.ts";

const FIELD_WORDS: Readonly<Record<string, string>> = {
  plate_capacity: "Most it can draw, by its plate",
  kind: "Kind of intake",
  fitted: "Screen fitted today",
  opening_mm: "Openings it has today",
  depth_today: "Depth today",
  gauge_reading: "Gauge",
  depth_low: "Depth at low irrigation-season level",
  position_words: "Where in the river it draws",
  night_share: "Share of its draw by night",
  power: "Power at the intake",
  access: "Access for machines when wet",
  consent: "Consent",
};

export function noteLabel(field: string): string {
  const words = FIELD_WORDS[field] ?? field.replaceAll("_", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** As it was typed: "21.6 ML/d". */
export function typedWords({ typed, unit, value }: Note): string {
  return [typed || String(value ?? "taken back"), unit].filter(Boolean).join("\u00a0");
}

/** "kim, 2 Mar 2026, 09:30". */
export function writtenWords({ by, at }: Note): string {
  return [by, moment(at)].filter(Boolean).join(", ");
}

/** What the register says, and who wrote it there. */
export function registerWords(value: NoteValue, field: FieldTold | undefined, shown: Shown, by: string, at: string): string {
  const words = cellWords(field, value, shown);
  const who = [by, at ? moment(at) : ""].filter(Boolean).join(", ");
  return who ? `${words} (${who})` : words;
}

/** What waits, and what else was said. */
export function waitingWords(notes: number, sites: number, saidOf: number): string {
  const counted = (count: number, one: string): string => (count === 1 ? `1 ${one}` : `${count} ${one}s`);
  const waits = notes ? `${counted(notes, "note")} of ${counted(sites, "site")} would change the register.` : "No note waits to be taken over.";
  return saidOf ? `${waits} What else was said of ${counted(saidOf, "site")} stands below.` : waits;
}

/** Groups in the order they come. */
export function byCode<Of extends { readonly note: Note }>(all: readonly Of[]): (readonly [code: string, of: readonly Of[]])[] {
  const groups = new Map<string, Of[]>();
  for (const each of all) groups.set(each.note.code, [...(groups.get(each.note.code) ?? []), each]);
  return [...groups];
}
