// Saved cases: listed, saved, opened, shared, deleted, compared; and where their papers and files are.
import { ask } from "./ask.ts";

/** A trial as a case keeps it. */
export interface SavedTrial {
  readonly weights: Readonly<Record<string, number>>;
  readonly budget: number;
  readonly way: "score" | "best";
  /** Written reasons by code. */
  readonly kept_in: Readonly<Record<string, string>>;
  readonly left_out: Readonly<Record<string, string>>;
  readonly district_least: Readonly<Record<string, number>>;
  readonly district_most: Readonly<Record<string, number>>;
  readonly most_installs: number | null;
  readonly together: readonly (readonly string[])[];
  readonly unit: string;
  readonly year: string;
  readonly guild: string;
  readonly selected: string;
}

export interface CaseHead {
  readonly id: string;
  readonly name: string;
  readonly note: string;
  readonly made_at: string;
  readonly by: string;
  /** Null while it is not shared. */
  readonly shared_at: string | null;
  readonly data_version: string;
  readonly on_present_data: boolean;
  readonly way: "score" | "best";
  readonly budget: number;
  readonly inside_count: number;
  readonly spent: number;
  readonly benefit_share: number;
}

export interface CaseTold extends CaseHead {
  readonly trial: SavedTrial;
  readonly data: { readonly data_version: string; readonly changed_at: string; readonly is_present: boolean };
}

export interface CaseAsked {
  readonly id: string;
  readonly name: string;
  readonly note: string;
  readonly by: string;
  readonly copied_from?: string;
  readonly trial: SavedTrial;
}

export interface Moved {
  readonly code: string;
  readonly cost: number | null;
  readonly why: string;
}

export interface Compared {
  readonly one: CaseHead;
  readonly other: CaseHead;
  readonly enters: readonly Moved[];
  readonly leaves: readonly Moved[];
  readonly stays: number;
  readonly money: { readonly sentence: string };
  readonly what_changed: readonly string[];
}

const CASES = "/api/cases";

export function fetchCases(): Promise<{ readonly cases: readonly CaseHead[] }> {
  return ask(CASES);
}

/** What whoever may only read the shared cases is told of one. */
export interface SharedHead {
  readonly id: string;
  readonly name: string;
  readonly by: string;
  readonly shared_at: string;
  readonly budget: number;
  readonly spent: number;
  readonly count: number;
  readonly data_version: string;
  readonly way: "score" | "best";
}

export function fetchSharedCases(): Promise<{ readonly cases: readonly SharedHead[] }> {
  return ask(CASES);
}

export function fundPageOf(id: string): string {
  return `/print/fund/${encodeURIComponent(id)}`;
}

export function fetchCase(id: string): Promise<CaseTold> {
  return ask(`${CASES}/${encodeURIComponent(id)}`);
}

export function shareCase(id: string): Promise<CaseTold> {
  return ask(`${CASES}/${encodeURIComponent(id)}/share`, undefined, { method: "POST" });
}

export function deleteCase(id: string): Promise<unknown> {
  return ask(`${CASES}/${encodeURIComponent(id)}`, undefined, { method: "DELETE" });
}

export function compareCases(one: string, other: string): Promise<Compared> {
  return ask(`/api/compare?${new URLSearchParams({ one, other }).toString()}`);
}

/** The page opened on a case, or on the present data. */
export function pageOf(id = ""): string {
  const words = new URLSearchParams(location.search);
  words.delete("case");
  if (id) words.set("case", id);
  const query = words.toString();
  return `${location.origin}${location.pathname}${query ? `?${query}` : ""}`;
}

export interface Paper {
  readonly words: string;
  readonly address: string;
}

/** The brief for one landholder, as it is meant for them and as anyone may read it. */
export function briefsOf(id: string, code: string): Paper[] {
  const brief = `/print/landholder/${encodeURIComponent(id)}/${encodeURIComponent(code)}`;
  return [{ words: "Private", address: `${brief}?version=private` }, { words: "Public", address: `${brief}?version=public` }];
}

/** What can be printed or taken away of a case; the landholder's brief for the offtake that is open. */
export function papersOf(id: string, code: string): Paper[] {
  const at = encodeURIComponent(id);
  return [
    { words: "Fund page", address: fundPageOf(id) },
    { words: "Board brief", address: `/print/board/${at}` },
    { words: "Workbook", address: `/files/${at}.xlsx` },
    { words: "Map file", address: `/files/${at}.html` },
    ...(code ? briefsOf(id, code).map(({ words, address }) => ({ words: words === "Private" ? `Brief for ${code}` : `Brief for ${code}, public`, address })) : []),
  ];
}
