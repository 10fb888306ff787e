// All notes of this phone as one file, and back: at any time, on this phone or another, as often as one likes.
import type { Note } from "../wire/notes.ts";
import { allHeld, type AllHeld, type Held, isUnsent, type PhotoKept, phoneName, settle, takeIn } from "./notebook.ts";

const KIND = "slackwater notes";
const VERSION = 1;

interface PhotoInFile {
  readonly note_id: string;
  readonly id: string;
  readonly placed: boolean;
  readonly jpeg: string;
}

/** Saves all notes of this phone, or those of one run that are not yet sent. */
export async function saveFile(unsentOf = ""): Promise<{ name: string; notes: number }> {
  await settle();
  const held = await allHeld();
  const { notes, writing, photos } = unsentOf ? unsentIn(held, unsentOf) : held;
  const made = new Date().toISOString();
  const file = {
    ...{ kind: KIND, version: VERSION, saved_at: made, phone: await phoneName() },
    notes: [
      ...notes.map(({ note, state, why }) => ({ note, state, why: why ?? "" })),
      ...writing.map(({ fault, was: _, replaces: __, ...note }) => ({ note, state: "refused", why: fault || "was being typed" })),
    ],
    photos: photos.map(({ jpeg, ...rest }): PhotoInFile => ({ ...rest, jpeg: toText(jpeg) })),
  };
  const name = `slackwater-notes-${made.slice(0, 16).replace(/[:T]/g, "-")}.json`;
  const address = URL.createObjectURL(new Blob([JSON.stringify(file, null, 1)], { type: "application/json" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
  return { name, notes: file.notes.length };
}

function unsentIn({ notes, writing, photos }: AllHeld, runId: string): AllHeld {
  const unsent = notes.filter(({ note, state }) => note.run_id === runId && isUnsent(state));
  const ids = new Set(unsent.map(({ note }) => note.id));
  return { notes: unsent, writing: writing.filter((each) => each.run_id === runId), photos: photos.filter((each) => ids.has(each.note_id)) };
}

/** Takes in what this phone does not hold yet; gives how many notes the file has, and how many were new. */
export async function loadFile(file: Blob): Promise<{ inFile: number; taken: number }> {
  const said = parsed(await file.text());
  const photos = said.photos.map(({ note_id, id, placed, jpeg }): PhotoKept => ({ note_id, id, placed, jpeg: fromText(jpeg) }));
  return { inFile: said.notes.length, taken: await takeIn(said.notes, photos) };
}

const TEXTS = ["id", "run_id", "code", "field", "typed", "unit", "at", "phone", "after", "by"] as const;
const STATES = ["waiting", "sent", "refused", "replaced"];

function parsed(text: string): { notes: Held[]; photos: PhotoInFile[] } {
  let said: { kind?: unknown; version?: unknown; notes?: unknown; photos?: unknown } | null;
  try {
    said = JSON.parse(text) as typeof said;
  } catch {
    said = null;
  }
  if (said?.kind !== KIND || !Array.isArray(said.notes) || !Array.isArray(said.photos)) throw new Error("This is no file of notes.");
  if (said.version !== VERSION) throw new Error("This file was saved by another version of the page; load the page anew first.");
  if (!said.notes.every(isHeld) || !said.photos.every(isPhoto)) throw new Error("This file of notes is damaged; nothing was taken in.");
  return { notes: said.notes as Held[], photos: said.photos as PhotoInFile[] };
}

function isHeld(given: unknown): boolean {
  const { note, state } = (given ?? {}) as { note?: Record<string, unknown>; state?: unknown };
  const value = note?.value;
  const sound = value === null || typeof value === "string" || typeof value === "number";
  return sound && STATES.includes(String(state)) && TEXTS.every((name) => typeof (note as Partial<Note> | undefined)?.[name] === "string");
}

function isPhoto(given: unknown): boolean {
  const { note_id, id, jpeg, placed } = (given ?? {}) as Record<string, unknown>;
  return [note_id, id, jpeg].every((each) => typeof each === "string") && typeof placed === "boolean";
}

function toText(bytes: ArrayBuffer): string {
  let text = "";
  for (const byte of new Uint8Array(bytes)) text += String.fromCharCode(byte);
  return btoa(text);
}

function fromText(text: string): ArrayBuffer {
  return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0)).buffer;
}
