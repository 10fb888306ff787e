// What a role is called, and what whoever holds it may do, in words.
import type { Role } from "../wire/me.ts";

export const ROLE_WORDS: Readonly<Record<Role, readonly [name: string, may: string]>> = {
  viewer: ["Viewer", "sees the map and what agencies may see; reads and prints shared cases"],
  field: ["Field", "sees what a viewer sees, and owners and exact places on runs of their own; plans field days and sends notes from them"],
  scientist: ["Scientist", "sees what a viewer sees; corrects fish, production, screens and what they keep out"],
  lead: ["Lead", "sees everything; corrects the data, takes notes over from the field, saves and shares cases, follows offers"],
  admin: ["Admin", "adds people and gives roles; sees no more of the river by that"],
};

/** "Lead and admin"; "no role" where there is none. */
export function rolesText(roles: readonly string[]): string {
  const names = roles.map((each) => (ROLE_WORDS[each as Role]?.[0] ?? each).toLowerCase());
  const [last] = names.slice(-1);
  if (last === undefined) return "No role";
  const text = names.length === 1 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A count of days that can be meant; null where it cannot. */
export function daysOf(text: string): number | null {
  const days = Number(text.trim());
  return text.trim() !== "" && Number.isInteger(days) && days >= 1 && days <= MOST_DAYS ? days : null;
}

export const MOST_DAYS = 365;
export const DAYS_WRONG = `From 1 to ${MOST_DAYS} days, as a whole number.`;
/** Of a password; the service says the rest. */
export const LEAST_LETTERS = 12;
