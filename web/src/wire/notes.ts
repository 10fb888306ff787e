// A note from the field, as phones send it and the desk reads it.

export type NoteValue = number | string | null;

/** One field's value, written at a stop; it never changes once it is finished. */
export interface Note {
  readonly id: string;
  readonly run_id: string;
  readonly code: string;
  readonly field: string;
  readonly typed: string;
  readonly unit: string;
  /** SI, or a text. */
  readonly value: NoteValue;
  readonly at: string;
  readonly phone: string;
  /** Id of the note of the same code and field that the phone knew as the newest, "" for none. */
  readonly after: string;
  readonly by: string;
}

/** Notes of one field that contradict each other. */
export interface Contested {
  readonly code: string;
  readonly field: string;
  readonly notes: readonly Note[];
}
