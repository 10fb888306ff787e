// People who may sign in: listed, added, changed, removed. For admins alone.
import { ask } from "./ask.ts";
import type { Role } from "./me.ts";

export interface Person {
  readonly name: string;
  readonly roles: readonly Role[];
  readonly way: "password" | "elsewhere";
  readonly locked: boolean;
  /** Until when too many wrong passwords keep them out; null where none do. */
  readonly kept_out_until: string | null;
  readonly made_at: string;
  /** Null for somebody who never was here. */
  readonly seen_at: string | null;
}

export interface PersonAsked {
  readonly name: string;
  readonly roles: readonly Role[];
  /** Null where they sign in elsewhere. */
  readonly password: string | null;
}

export interface PersonChange {
  readonly roles?: readonly Role[];
  readonly locked?: boolean;
  readonly password?: string;
}

const PEOPLE = "/api/people";

export function fetchPeople(): Promise<{ readonly people: readonly Person[] }> {
  return ask(PEOPLE);
}

export function addPerson(asked: PersonAsked): Promise<Person> {
  return ask(PEOPLE, undefined, { method: "POST", body: asked });
}

export function changePerson(name: string, change: PersonChange): Promise<Person> {
  return ask(`${PEOPLE}/${encodeURIComponent(name)}`, undefined, { method: "POST", body: change });
}

export function removePerson(name: string): Promise<unknown> {
  return ask(`${PEOPLE}/${encodeURIComponent(name)}`, undefined, { method: "DELETE" });
}
