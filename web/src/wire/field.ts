// What a phone takes along and sends, and what the service makes of it.
import { ask, AskError, leave, TOKEN_HEADER } from "./ask.ts";
import type { Contested, Note } from "./notes.ts";

export interface Form {
  readonly field: string;
  readonly label: string;
  readonly holds: "number" | "word" | "option" | "text" | "photo";
  readonly units: readonly string[];
  readonly per_si: Readonly<Record<string, number>>;
  readonly words: readonly string[];
  readonly column: string;
  readonly above_zero: boolean;
  /** Upper bound in SI; absent in packs of before. */
  readonly most?: number | null;
  readonly adds_up: boolean;
  readonly how: string;
  readonly caution: string;
}

export interface Registered {
  readonly value: number | string | null;
  readonly given: number | string | null;
  readonly basis: string;
  readonly source: string;
  readonly at: string;
}

/** What the plan says of a stop; a run made by hand says the code alone. */
export interface Planned {
  readonly code: string;
  readonly arrive_min?: number;
  readonly drive_min?: number;
  readonly drive_km?: number;
  /** Nobody there has said yes yet. */
  readonly contact_first?: boolean;
  readonly measure?: readonly { readonly input: string; readonly words: string }[];
}

export interface PackStop {
  readonly day: number;
  readonly number: number;
  readonly code: string;
  readonly planned: Planned;
  readonly in_register: boolean;
  readonly facts: Readonly<Record<string, string | number | null>>;
  readonly register: Readonly<Record<string, Registered>>;
  readonly notes: readonly Note[];
  readonly contested: readonly string[];
  readonly lon: number | null;
  readonly lat: number | null;
}

export interface CodedLines {
  readonly row: readonly number[];
  readonly points: readonly number[];
  readonly lon: readonly number[];
  readonly lat: readonly number[];
  readonly name: readonly (string | null)[];
}

export interface CodedPlaces {
  readonly lon: readonly number[];
  readonly lat: readonly number[];
  readonly name: readonly (string | null)[];
}

export interface Ground {
  readonly bounds: readonly number[] | null;
  readonly rivers: CodedLines;
  readonly roads: CodedLines;
  readonly towns: CodedPlaces;
  readonly depots: CodedPlaces;
}

export interface RunHead {
  readonly id: string;
  readonly name: string;
  readonly on: string;
  readonly officer: string;
  readonly days: readonly { readonly stops?: readonly Planned[] }[];
  readonly ordered_at: string;
}

/** A run as the list has it. */
export interface RunListed extends Pick<RunHead, "id" | "name" | "on" | "officer" | "ordered_at"> {
  /** Of each day's stops. */
  readonly codes: readonly (readonly string[])[];
}

export interface Pack {
  readonly run: RunHead;
  readonly data_version: string;
  readonly made_at: string;
  readonly stops: readonly PackStop[];
  readonly forms: readonly Form[];
  readonly ground: Ground;
  readonly cautions: readonly string[];
}

export interface Choice {
  readonly id: string;
  readonly code: string;
  readonly field: string;
  readonly note_ids: readonly string[];
  readonly pick: string;
  readonly by: string;
  readonly why: string;
  readonly at: string;
}

export interface NotesOfRun {
  readonly notes: readonly Note[];
  readonly contested: readonly Contested[];
  readonly choices: readonly Choice[];
}

export interface NotesKept {
  readonly kept: readonly string[];
  readonly known: readonly string[];
  readonly conflicts: readonly { readonly id: string; readonly other: Note }[];
  readonly refused: readonly { readonly id: string; readonly why: string }[];
}

const PATIENCE_MS = 30_000;

const soon = (): AbortSignal => AbortSignal.timeout(PATIENCE_MS);

export async function fetchRuns(): Promise<readonly RunListed[]> {
  return (await asked<{ readonly runs: readonly RunListed[] }>("/api/runs")).runs;
}

/** The pack as one text, so that what is stored can be compared with it. */
export async function fetchPackText(runId: string): Promise<string> {
  return JSON.stringify(await asked<Pack>(`/api/runs/${runId}/pack`));
}

export function sendNotes(notes: readonly Note[]): Promise<NotesKept> {
  return asked("/api/notes", { notes });
}

export function fetchNotes(runId: string): Promise<NotesOfRun> {
  return asked(`/api/notes?run=${runId}`);
}

export function sendChoice(choice: Omit<Choice, "at" | "code" | "field">): Promise<Choice> {
  return asked("/api/notes/choose", choice);
}

export async function sendPhoto(id: string, noteId: string, by: string, placed: boolean, jpeg: ArrayBuffer): Promise<void> {
  const query = new URLSearchParams({ note: noteId, by, ...(placed ? { place: "kept" } : {}) });
  const headers = { "Content-Type": "image/jpeg", ...(leave.token ? { [TOKEN_HEADER]: leave.token } : {}) };
  let answer: Response;
  try {
    answer = await fetch(`/api/photos/${id}?${query}`, { method: "PUT", headers, body: jpeg, signal: soon() });
  } catch {
    throw new AskError("no_answer", "The service does not answer.");
  }
  if (answer.ok) return;
  const told = (await answer.json().catch(() => null)) as { error?: { code?: string; message?: string } } | null;
  throw new AskError(told?.error?.code ?? "refused", told?.error?.message ?? `The service refused (${answer.status}).`, answer.status);
}

/** Whatever ends without an answer is one kind of error, too long a wait as well. */
async function asked<Answer>(address: string, body?: unknown): Promise<Answer> {
  try {
    return await ask<Answer>(address, soon(), body === undefined ? { final: true } : { method: "POST", body, final: true });
  } catch (error) {
    if (error instanceof AskError) throw error;
    throw new AskError("no_answer", "The service does not answer.");
  }
}
