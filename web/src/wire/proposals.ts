// What notes from the field would change in the register; taken over by one edit, or refused.
import { ask } from "./ask.ts";
import type { EditDone } from "./edits.ts";
import type { Contested, Note, NoteValue } from "./notes.ts";

export interface Proposal {
  readonly note: Note;
  readonly label: string;
  readonly run_name: string;
  readonly column: string;
  /** As it stands there. */
  readonly register: NoteValue;
  /** "" where it came with the data. */
  readonly register_at: string;
  readonly register_by: string;
  /** Null where somebody has to say what is to stand there. */
  readonly proposed: NoteValue;
  /** What to know before it is taken over. */
  readonly words: string;
  /** Nothing speaks against taking it over as it is. */
  readonly ticked: boolean;
  readonly beside: readonly Note[];
  /** Ids. */
  readonly photos: readonly string[];
}

/** What was said of a site and has no column in the register. */
export interface Said {
  readonly note: Note;
  readonly label: string;
  readonly run_name: string;
}

/** Photos of a site of which the run proposes nothing. */
export interface SitePhotos {
  readonly code: string;
  readonly run_name: string;
  readonly by: string;
  readonly at: string;
  /** Ids. */
  readonly photos: readonly string[];
}

export interface Proposals {
  readonly proposals: readonly Proposal[];
  readonly contested: readonly Contested[];
  /** By code. */
  readonly said: readonly Said[];
  /** By code. */
  readonly photos: readonly SitePhotos[];
}

export interface Pick {
  readonly note_id: string;
  readonly value?: NoteValue;
  /** What stood in the register as it was looked at. */
  readonly seen: NoteValue;
}

interface Signed {
  readonly id: string;
  readonly why: string;
  readonly by?: string;
}

const PROPOSALS = "/api/proposals";

export function fetchProposals(): Promise<Proposals> {
  return ask(PROPOSALS);
}

export function acceptNotes(body: Signed & { readonly picks: readonly Pick[] }): Promise<EditDone> {
  return ask(`${PROPOSALS}/accept`, undefined, { method: "POST", body });
}

export function refuseNotes(body: Signed & { readonly note_ids: readonly string[] }): Promise<unknown> {
  return ask(`${PROPOSALS}/refuse`, undefined, { method: "POST", body });
}

export function chooseNote(body: Signed & { readonly note_ids: readonly string[]; readonly pick: string }): Promise<unknown> {
  return ask("/api/notes/choose", undefined, { method: "POST", body });
}

export function photoOf(id: string): string {
  return `/api/photos/${encodeURIComponent(id)}`;
}
