// The outbox: whenever there is a connection, notes go out in the order in which they were written. A note is
// out only once the service has said so; a lost answer sends it again, and the service knows it by its id.
import { AskError } from "../wire/ask.ts";
import type { Me } from "../wire/me.ts";
import { fetchNotes, sendNotes, sendPhoto } from "../wire/field.ts";
import { tell } from "./bus.ts";
import { StoreError } from "./db.ts";
import { counts, type Held, keepTold, markAnswered, markPhotoSent, photoOf, settle, waiting } from "./notebook.ts";
import { askWho } from "./who.ts";

export type Connection = "unknown" | "on" | "off" | "signed_out";

const BATCH = 100;
const AGAIN_MS = 20_000;
const REFUSED = [400, 404, 409, 413, 422];

let connection: Connection = "unknown";
let problem = "";
let others: readonly string[] = [];
let going: Promise<void> | null = null;
let onceMore = false;

export function connectionNow(): { connection: Connection; problem: string; sending: boolean; others: readonly string[] } {
  return { connection, problem, sending: going !== null, others };
}

const watched = new Set<string>();

/** What others write in a run is asked for as well, for as long as it is looked at. */
export function watch(runId: string): () => void {
  watched.add(runId);
  void send();
  return () => watched.delete(runId);
}

/** The field somebody is at stays theirs while the others go out. */
let atField: () => { code: string; field: string } | null = () => null;

export function startSending(at: typeof atField): void {
  atField = at;
  addEventListener("online", () => void send());
  addEventListener("offline", () => say("off", ""));
  document.addEventListener("visibilitychange", () => (document.hidden ? void settle() : void send()));
  setInterval(() => {
    if (!document.hidden && (counts().unsent > 0 || connection !== "on")) void send();
  }, AGAIN_MS);
}

/** Sends what waits; several calls at once are one, and one more round where something came meanwhile. */
export function send(): Promise<void> {
  if (going) {
    onceMore = true;
    return going;
  }
  going = rounds().finally(() => {
    going = null;
    tell("connection");
  });
  tell("connection");
  return going;
}

async function rounds(): Promise<void> {
  do {
    onceMore = false;
    try {
      await settle(atField);
      // One tab at a time; where the browser has no locks, the ids keep things right.
      await (navigator.locks ? navigator.locks.request("slackwater-outbox", oneRound) : oneRound());
    } catch (error) {
      sayFailed(error);
    }
  } while (onceMore);
}

async function oneRound(): Promise<void> {
  const me = await askWho();
  if (me.accounts && !me.name) return say("signed_out", "");
  const runs = await sendAll(me);
  for (const run of new Set([...runs, ...watched])) await keepTold(run, await fetchNotes(run));
  say("on", "");
}

function sayFailed(error: unknown): void {
  // A full store holds what it held: notes stay unsent there, go out again, and are known by their ids.
  if (error instanceof StoreError) return say("on", `This phone's store takes nothing more (${error.message}); what it holds stays. Save your notes as a file.`);
  if (!(error instanceof AskError)) console.error(error);
  const status = error instanceof AskError ? error.status : -1;
  if (status === 0) say("off", "");
  else if (status === 401) say("signed_out", "");
  else say("on", error instanceof Error ? error.message : "Not everything could be sent.");
}

/** Gives the runs that were written in. */
async function sendAll(me: Me): Promise<Set<string>> {
  const all = await waiting();
  const own = all.filter(({ note }) => !me.accounts || note.by === me.name);
  others = [...new Set(all.filter((each) => !own.includes(each)).map(({ note }) => note.by))];
  const runs = new Set(own.map(({ note }) => note.run_id));
  const unsent = own.filter((each) => !each.noteSent);
  for (let at = 0; at < unsent.length; at += BATCH) {
    const { kept, known, refused } = await sendNotes(unsent.slice(at, at + BATCH).map(({ note }) => note));
    await markAnswered([...kept, ...known], refused);
  }
  for (const held of await waiting()) if (held.noteSent && runs.has(held.note.run_id)) await sendPicture(held);
  return runs;
}

async function sendPicture({ note }: Held): Promise<void> {
  const photo = await photoOf(note.id);
  if (!photo) return markPhotoSent(note.id);
  try {
    await sendPhoto(photo.id, note.id, note.by, photo.placed, photo.jpeg);
  } catch (error) {
    if (error instanceof AskError && REFUSED.includes(error.status)) return markAnswered([], [{ id: note.id, why: error.message }]);
    throw error;
  }
  return markPhotoSent(note.id);
}

function say(next: Connection, words: string): void {
  [connection, problem] = [next, words];
  tell("connection");
}
