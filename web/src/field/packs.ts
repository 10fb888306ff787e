// A run is taken along: its pack lies in the phone's store. What is said to be held was read back from there.
import { fetchNotes, fetchPackText, type Pack, type RunListed } from "../wire/field.ts";
import { tell } from "./bus.ts";
import { got, transact } from "./db.ts";
import { keepTold } from "./notebook.ts";
import { canBeOffline, digest, holdShell, shellHeld, type ShellHeld } from "./shell.ts";
import { askWho, who } from "./who.ts";

interface Kept {
  readonly id: string;
  /** Whose it is; "" where there are no accounts. */
  readonly who: string;
  readonly text: string;
  readonly sha256: string;
  readonly at: string;
}

/** All of it was read back. */
export interface Statement {
  readonly name: string;
  readonly sites: number;
  readonly lines: number;
  readonly forms: number;
  readonly packBytes: number;
  readonly pageBytes: number;
  readonly pageFiles: number;
  readonly at: string;
}

/** Puts a run's pack on the phone; whether all is held is another question. */
export async function fetchAlong(runId: string): Promise<Pack> {
  const pack = await fetchPack(runId);
  tell("held");
  return pack;
}

async function fetchPack(runId: string): Promise<Pack> {
  await askWho();
  const text = await fetchPackText(runId);
  const sha256 = canBeOffline() ? await digest(new TextEncoder().encode(text)) : "";
  const told = await fetchNotes(runId); // what others wrote there belongs to it
  const kept: Kept = { id: runId, who: who().name, text, sha256, at: new Date().toISOString() };
  await transact(["packs"], "readwrite", (on) => got(on("packs").put(kept)));
  await keepTold(runId, told);
  return JSON.parse(text) as Pack;
}

/** Takes a run offline: pack, then the page, then everything read back. Throws where something is missing. */
export async function takeOffline(runId: string): Promise<Statement> {
  await fetchPack(runId);
  try {
    await holdShell();
    const statement = await heldOf(runId);
    if (typeof statement === "string") throw new Error(statement);
    return statement;
  } finally {
    tell("held");
  }
}

/** What of a run is on the phone, read back now; or in words what is missing. */
export async function heldOf(runId: string): Promise<Statement | string> {
  if (!canBeOffline()) return "This page cannot be kept on the phone at this address.";
  const kept = await packText(runId);
  if (!kept) return "This run is not on the phone.";
  const bytes = new TextEncoder().encode(kept.text);
  if ((await digest(bytes)) !== kept.sha256) return "The run was not stored whole; take it offline again.";
  let page: ShellHeld;
  try {
    page = await shellHeld();
  } catch {
    return "The page itself is not on the phone yet; take the run offline again while there is a connection.";
  }
  if (page.missing.length) return `${page.missing.length} of ${page.files} parts of the page are not on the phone; take the run offline again while there is a connection.`;
  const pack = JSON.parse(kept.text) as Pack;
  return {
    name: pack.run.name,
    sites: pack.stops.length,
    lines: pack.ground.rivers.points.length + pack.ground.roads.points.length,
    forms: pack.forms.length,
    packBytes: bytes.byteLength,
    pageBytes: page.bytes,
    pageFiles: page.files,
    at: kept.at,
  };
}

export async function packOf(runId: string): Promise<Pack | null> {
  const kept = await packText(runId);
  return kept ? (JSON.parse(kept.text) as Pack) : null;
}

function packText(runId: string): Promise<Kept | undefined> {
  return transact(["packs"], "readonly", (on) => got<Kept | undefined>(on("packs").get(runId)));
}

/** Heads of the runs on this phone of whoever was signed in last. */
export async function runsAlong(): Promise<RunListed[]> {
  const all = await transact(["packs"], "readonly", (on) => got<Kept[]>(on("packs").getAll()));
  return all.filter((each) => each.who === who().name).map((each) => listed((JSON.parse(each.text) as Pack).run));
}

function listed({ days, ...run }: Pack["run"]): RunListed {
  return { ...run, codes: days.map((day) => (day.stops ?? []).map((stop) => stop.code)) };
}

/** Takes a run's pack off the phone; its notes stay. */
export async function leaveBehind(runId: string): Promise<void> {
  await transact(["packs"], "readwrite", (on) => got(on("packs").delete(runId)));
  tell("held");
}

/** Whether somebody said that a stop is done; on this phone alone. */
export function doneAt(runId: string): Promise<Set<string>> {
  return transact(["done"], "readonly", async (on) => {
    const all = await got<{ run_id: string; code: string }[]>(on("done").getAll(IDBKeyRange.bound([runId], [runId, []])));
    return new Set(all.map((each) => each.code));
  });
}

export async function setDone(runId: string, code: string, done: boolean): Promise<void> {
  await transact(["done"], "readwrite", (on) => got((done ? on("done").put({ run_id: runId, code }) : on("done").delete([runId, code])) as IDBRequest<unknown>));
}
