// Which note of a field stands? The last of a chain; several phones' tips that differ wait for a choice.
import type { Choice } from "../wire/field.ts";
import type { Note } from "../wire/notes.ts";

/** Notes of one code and field, by id once each; the later mention of an id counts. */
export function together(...lists: readonly (readonly Note[])[]): Note[] {
  return [...new Map(lists.flat().map((note) => [note.id, note])).values()];
}

/** Those upon which no other follows, nor a choice, the latest last. */
export function tipsOf(notes: readonly Note[], choices: readonly Choice[]): Note[] {
  const followed = new Set(notes.map((note) => note.after));
  for (const { note_ids, pick } of choices) for (const id of note_ids) if (id !== pick) followed.add(id);
  return notes.filter((note) => !followed.has(note.id)).sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/** The note that a new one of this phone follows upon: its own tip first, else the latest; null for none. */
export function newestFor(phone: string, notes: readonly Note[], choices: readonly Choice[], addsUp: boolean): Note | null {
  const tips = tipsOf(notes, choices);
  const own = tips.filter((note) => note.phone === phone).at(-1);
  return own ?? (addsUp ? null : (tips.at(-1) ?? null));
}
