// The notebook of this phone. What is being typed is kept at every letter; once somebody goes on to something
// else it is a note, which never changes, and waits in the outbox until the service has said that it is kept.
import type { Choice, Form, NotesOfRun } from "../wire/field.ts";
import type { Contested, Note } from "../wire/notes.ts";
import { remote, tell } from "./bus.ts";
import { got, recall, remember, transact } from "./db.ts";
import { freshId } from "./random.ts";
import { newestFor, together } from "./standing.ts";
import { understood } from "./understood.ts";

/** Sent: the service has it. Refused: it said why not. Replaced: refused, and written anew since. */
export type State = "waiting" | "sent" | "refused" | "replaced";

export interface Held {
  readonly n?: number;
  readonly note: Note;
  readonly state: State;
  readonly why?: string;
  /** Of a note with a photo: the note itself is there already. */
  readonly noteSent?: boolean;
}

/** What is being typed: a note that may still change. */
export interface Writing extends Note {
  readonly fault: string;
  /** What stood there as this phone's own, so that nothing changed is no note. */
  readonly was: string;
  readonly replaces: string;
}

export interface Counts {
  readonly safe: number;
  readonly unsent: number;
  /** Of these: refused, or not to be understood. */
  readonly faulty: number;
}

export interface Told extends NotesOfRun {
  readonly run_id: string;
}

export interface Of {
  readonly run_id: string;
  readonly code: string;
}

let now: Counts = { safe: 0, unsent: 0, faulty: 0 };

export function counts(): Counts {
  return now;
}

type On = (shelf: "writing" | "notes" | "photos" | "told" | "kept") => IDBObjectStore;

async function counted(on: On): Promise<Counts> {
  const byState = on("notes").index("by_state");
  const [all, sent, refused, replaced, writing] = await Promise.all([
    got(on("notes").count()),
    got(byState.count("sent")),
    got(byState.count("refused")),
    got(byState.count("replaced")),
    got<Writing[]>(on("writing").getAll()),
  ]);
  const faulty = refused + writing.filter((each) => each.fault !== "").length;
  return { safe: all - replaced + writing.length, unsent: all - sent - replaced + writing.length, faulty };
}

/** Changes the notebook; the count that the page shows is the one of the same transaction. */
async function change(work: (on: On) => Promise<void>): Promise<void> {
  now = await transact(["writing", "notes", "photos", "told", "kept"], "readwrite", async (on) => {
    await work(on);
    return counted(on);
  });
  tell("counts");
}

export async function recount(): Promise<Counts> {
  return (now = await transact(["writing", "notes"], "readonly", counted));
}

remote.before = recount;

let named: string | null = null;

/** The random name this phone gave itself. */
export async function phoneName(): Promise<string> {
  named ??= (await recall<string>("phone")) ?? null;
  if (!named) await remember("phone", (named = freshId()));
  return named;
}

/** Keeps what is typed into a field, as typed. `before`: notes of this field that came with the pack. */
export async function write(of: Of, form: Form, typed: string, unit: string, by: string, before: readonly Note[]): Promise<void> {
  const phone = await phoneName();
  await change(async (on) => {
    const key = [of.run_id, of.code, form.field];
    const begun = await got<Writing | undefined>(on("writing").get(key));
    const { value, fault } = understood(form, typed, unit);
    const said = { typed, unit: form.holds === "number" ? unit : "", value, fault, at: new Date().toISOString() };
    if (begun) {
      await got(on("writing").put({ ...begun, ...said }));
      return;
    }
    const own = await got<Held[]>(on("notes").index("by_field").getAll(key));
    const last = own.filter((each) => each.state !== "replaced").at(-1);
    const replaced = last?.state === "refused" ? last.note : null;
    const told = await got<Told | undefined>(on("told").get(of.run_id));
    const { notes, choices } = ofField(told, of.code, form.field);
    const mine = own.filter((each) => each.state === "waiting" || each.state === "sent").map((each) => each.note);
    const newest = newestFor(phone, together(before, notes, mine), choices, form.adds_up);
    const shown = replaced ?? (newest?.phone === phone ? newest : null);
    await got(
      on("writing").put({
        ...{ id: freshId(), ...of, field: form.field, phone, by, after: newest?.id ?? "", replaces: replaced?.id ?? "" },
        ...{ was: replaced || !shown ? "" : saidIn(shown), ...said },
      } satisfies Writing),
    );
  });
}

const saidIn = ({ typed, unit }: Pick<Note, "typed" | "unit">): string => `${unit} ${typed.trim()}`;

/** Makes notes of what was typed and can be understood; but for the field somebody is at by then. */
export async function settle(at: () => { readonly code: string; readonly field: string } | null = () => null): Promise<void> {
  if (!(await transact(["writing"], "readonly", (on) => got(on("writing").count())))) return;
  await change(async (on) => {
    const all = await got<Writing[]>(on("writing").getAll());
    const but = at();
    for (const each of all.sort((a, b) => a.at.localeCompare(b.at))) {
      if (each.fault || (but && each.code === but.code && each.field === but.field)) continue;
      await got(on("writing").delete([each.run_id, each.code, each.field]));
      const { fault: _, was, replaces, ...note } = each;
      if (replaces) await mark(on, replaces, { state: "replaced" });
      if (was === saidIn(note) || (was === "" && note.typed.trim() === "")) continue;
      await got(on("notes").add({ note, state: "waiting" } satisfies Held));
    }
  });
}

export interface PhotoKept {
  readonly note_id: string;
  readonly id: string;
  readonly jpeg: ArrayBuffer;
  readonly placed: boolean;
}

/** Keeps a photo and the note it belongs to, both or neither. */
export async function addPhoto(of: Of, by: string, jpeg: ArrayBuffer, placed: boolean): Promise<void> {
  const phone = await phoneName();
  const note: Note = { id: freshId(), ...of, field: "photo", typed: "", unit: "", value: null, at: new Date().toISOString(), phone, after: "", by };
  await change(async (on) => {
    await got(on("photos").put({ note_id: note.id, id: freshId(), jpeg, placed } satisfies PhotoKept));
    await got(on("notes").add({ note, state: "waiting" } satisfies Held));
  });
}

async function mark(on: On, id: string, as: Partial<Held>): Promise<void> {
  const held = await got<Held | undefined>(on("notes").index("by_id").get(id));
  if (held) await got(on("notes").put({ ...held, ...as }));
}

/** Writes down what the service answered. A photo's note is sent only once its photo is. */
export async function markAnswered(there: readonly string[], refused: readonly { readonly id: string; readonly why: string }[]): Promise<void> {
  await change(async (on) => {
    for (const id of there) {
      const photo = await got<number>(on("photos").count(id));
      await mark(on, id, photo ? { noteSent: true } : { state: "sent" });
    }
    for (const { id, why } of refused) await mark(on, id, { state: "refused", why });
  });
}

export function markPhotoSent(noteId: string): Promise<void> {
  return change((on) => mark(on, noteId, { state: "sent" }));
}

/** What was refused waits again. */
export function tryAgain(): Promise<void> {
  return change(async (on) => {
    const all = await got<Held[]>(on("notes").index("by_state").getAll("refused"));
    for (const each of all) await got(on("notes").put({ ...each, state: "waiting" }));
  });
}

export interface AllHeld extends Noted {
  readonly photos: PhotoKept[];
}

export function isUnsent(state: State): boolean {
  return state === "waiting" || state === "refused";
}

/** How many notes of a run are not yet sent. */
export async function unsentOf(runId: string): Promise<number> {
  const { notes, writing } = await allNoted();
  return notes.filter(({ note, state }) => note.run_id === runId && isUnsent(state)).length + writing.filter((each) => each.run_id === runId).length;
}

export function allHeld(): Promise<AllHeld> {
  return transact(["notes", "writing", "photos"], "readonly", async (on) => ({
    notes: await got<Held[]>(on("notes").getAll()),
    writing: await got<Writing[]>(on("writing").getAll()),
    photos: await got<PhotoKept[]>(on("photos").getAll()),
  }));
}

export interface Noted {
  readonly notes: Held[];
  readonly writing: Writing[];
}

/** Everything but the photos. */
export function allNoted(): Promise<Noted> {
  return transact(["notes", "writing"], "readonly", async (on) => ({ notes: await got<Held[]>(on("notes").getAll()), writing: await got<Writing[]>(on("writing").getAll()) }));
}

/** What was noted at one stop of a run. */
export function heldAt({ run_id, code }: Of): Promise<Noted> {
  const range = IDBKeyRange.bound([run_id, code], [run_id, code, []]);
  return transact(["notes", "writing"], "readonly", async (on) => ({
    notes: (await got<Held[]>(on("notes").index("by_field").getAll(range))).sort((a, b) => (a.n ?? 0) - (b.n ?? 0)),
    writing: await got<Writing[]>(on("writing").getAll(range)),
  }));
}

/** Notes that wait, in the order in which they were written. */
export function waiting(): Promise<Held[]> {
  return transact(["notes"], "readonly", (on) => got<Held[]>(on("notes").index("by_state").getAll("waiting")));
}

export function photoOf(noteId: string): Promise<PhotoKept | undefined> {
  return transact(["photos"], "readonly", (on) => got<PhotoKept | undefined>(on("photos").get(noteId)));
}

/** Takes in what a file holds and this phone does not; gives how many notes that are. */
export async function takeIn(notes: readonly Held[], photos: readonly PhotoKept[]): Promise<number> {
  let taken = 0;
  await change(async (on) => {
    const beingTyped = new Set((await got<Writing[]>(on("writing").getAll())).map((each) => each.id));
    for (const { note, state, why } of notes) {
      if (beingTyped.has(note.id) || (await got(on("notes").index("by_id").count(note.id)))) continue;
      await got(on("notes").add({ note, state, ...(why ? { why } : {}) } satisfies Held));
      taken += 1;
    }
    for (const photo of photos) if (!(await got(on("photos").count(photo.note_id)))) await got(on("photos").put(photo));
  });
  return taken;
}

export async function keepTold(runId: string, told: NotesOfRun): Promise<void> {
  await transact(["told"], "readwrite", (on) => got(on("told").put({ ...told, run_id: runId })));
  tell("told");
}

export function toldOf(runId: string): Promise<Told | undefined> {
  return transact(["told"], "readonly", (on) => got<Told | undefined>(on("told").get(runId)));
}

/** What the service told of one field of one stop. */
export function ofField(told: NotesOfRun | undefined, code: string, field: string): { notes: Note[]; choices: Choice[]; contested: Contested | null } {
  const about = (each: { readonly code: string; readonly field: string }): boolean => each.code === code && each.field === field;
  const contested = told?.contested.find(about) ?? null;
  return {
    notes: together(contested?.notes ?? [], told?.notes.filter(about) ?? []),
    choices: told?.choices.filter(about) ?? [],
    contested,
  };
}
