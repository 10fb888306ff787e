// Who writes? The account that last signed in on this phone, also while there is no connection; where there are
// no accounts, whatever name was given.
import { type Me, readMe } from "../wire/me.ts";
import { recall, remember } from "./db.ts";

/** Who the service knew, kept for when it cannot be asked. */
let known: Pick<Me, "accounts" | "name" | "ways"> = { accounts: false, name: "", ways: [] };
let given = "";

const UNNAMED = "field officer";
const MOST_OF_NAME = 100;

export async function recallWho(): Promise<void> {
  known = (await recall<typeof known>("me")) ?? known;
  given = (await recall<string>("by")) ?? "";
}

/** Asks the service; who was signed in before stays known when nobody is now. */
export async function askWho(): Promise<Me> {
  const me = await readMe(AbortSignal.timeout(15_000));
  if (!me.accounts || me.name) {
    const before = JSON.stringify(known);
    known = { accounts: me.accounts, name: me.name, ways: me.ways };
    // A store that is full must not keep notes from being sent: it is known for as long as the page is open.
    if (JSON.stringify(known) !== before) await remember("me", known).catch(() => undefined);
  } else {
    known = { ...known, accounts: true, ways: me.ways };
  }
  return me;
}

export function who(): typeof known {
  return known;
}

/** The name on this phone's notes. */
export function byName(otherwise = ""): string {
  return known.name || given || (known.accounts ? "" : named(otherwise)) || UNNAMED;
}

/** Gives the name of a run's officer to who has none yet; it counts at once. */
export function nameAfter(officer: string): void {
  if (known.accounts || known.name || given || !named(officer)) return;
  giveName(officer).catch(() => undefined); // a store that keeps nothing is told of at the note itself
}

const named = (name: string): string => name.trim().slice(0, MOST_OF_NAME);

export function givenName(): string {
  return given;
}

export async function giveName(name: string): Promise<void> {
  given = named(name);
  await remember("by", given);
}
