// Sentences of the phone's page.
import type { Counts } from "./notebook.ts";
import type { Statement } from "./packs.ts";

export function many(count: number, one: string, more = `${one}s`): string {
  return `${count} ${count === 1 ? one : more}`;
}

export function badgeWords({ safe, unsent }: Counts): string {
  return `${many(safe, "note")} safe on this phone, ${unsent} not yet sent`;
}

export function heldWords(held: Statement): string {
  return (
    `On this phone, read back just now: the run ${held.name} with ${many(held.sites, "site")}, ${many(held.lines, "map line")} and ` +
    `${many(held.forms, "form")} (${bytesWords(held.packBytes)}), and the page itself (${many(held.pageFiles, "file")}, ${bytesWords(held.pageBytes)}). ` +
    `Fetched ${timeWords(held.at)}.`
  );
}

export function bytesWords(bytes: number): string {
  return `${bytes.toLocaleString("en-AU")} bytes`;
}

export function timeWords(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  return at.toLocaleString("en-AU", { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit", hour12: false });
}

export function dayWords(iso: string): string {
  const at = new Date(`${iso}T12:00:00`);
  return Number.isNaN(at.getTime()) ? iso : at.toLocaleDateString("en-AU", { weekday: "short", day: "numeric", month: "short", year: "numeric" });
}

export function minutesWords(minutes: number): string {
  const whole = Math.round(minutes);
  return whole < 60 ? `${whole} min` : `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, "0")}`;
}

const MOST_NAMED = 3;

function whereWords(where: readonly string[]): string {
  const more = where.length - MOST_NAMED;
  return where.length ? `: ${where.slice(0, MOST_NAMED).join("; ")}${more > 0 ? `; and ${more} more` : ""}` : "";
}

const DAY_MS = 86_400_000;

/** What to be warned of, the worst first; none where nothing is. */
export function warnings(lasting: boolean, oldest: string | null, { unsent, faulty }: Counts, where: readonly string[], at = Date.now()): string[] {
  const told: string[] = [];
  if (oldest && at - Date.parse(oldest) > DAY_MS) told.push(`Notes have waited since ${timeWords(oldest)}. Send them, or save them as a file.`);
  if (faulty) told.push(`${many(faulty, "note")} cannot be sent as ${faulty === 1 ? "it is" : "they are"}${whereWords(where)}; see what is said there.`);
  if (!lasting && unsent) told.push("This browser gave no promise to keep the page's data; after days of disuse it may clear them. Send your notes soon, or save them as a file.");
  return told;
}
