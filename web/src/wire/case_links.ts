// Public links of a shared case: whoever has one sees the case without an account, until it ends.
import { ask } from "./ask.ts";

export interface CaseLink {
  readonly id: string;
  readonly case_id: string;
  readonly made_at: string;
  readonly by: string;
  readonly ends_at: string;
  /** Null while nobody ended it. */
  readonly ended_at: string | null;
}

export function fetchLinks(caseId: string): Promise<{ readonly links: readonly CaseLink[] }> {
  return ask(linksOf(caseId));
}

/** Its address is told this once. */
export function makeLink(caseId: string, days: number): Promise<CaseLink & { readonly address: string }> {
  return ask(linksOf(caseId), undefined, { method: "POST", body: { days } });
}

export function endLink(id: string): Promise<unknown> {
  return ask(`/api/links/${encodeURIComponent(id)}`, undefined, { method: "DELETE" });
}

function linksOf(caseId: string): string {
  return `/api/cases/${encodeURIComponent(caseId)}/links`;
}
