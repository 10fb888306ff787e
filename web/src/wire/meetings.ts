// Meetings as the lead opens and ends them. What goes on in one has a wire of its own: `meet/wire.ts`.
import { ask } from "./ask.ts";

export interface MeetingHead {
  readonly code: string;
  readonly case_id: string;
  readonly case_name: string;
  readonly opened_at: string;
  readonly by: string;
  readonly ends_at: string;
  /** Null while nobody ended it. */
  readonly ended_at: string | null;
  readonly live: boolean;
  /** Whether its minutes can be read. */
  readonly minutes: boolean;
}

/** Its key is told this once. */
export interface MeetingOpened {
  readonly code: string;
  readonly key: string;
  readonly ends_at: string;
  /** Paths of its pages, without the key. */
  readonly wall: string;
  readonly lead: string;
  /** What phones open; "" where they cannot reach this service. */
  readonly join: string;
}

const MEETINGS = "/api/meetings";

export function fetchMeetings(): Promise<{ readonly meetings: readonly MeetingHead[] }> {
  return ask(MEETINGS);
}

export function openMeeting(caseId: string, hours: number): Promise<MeetingOpened> {
  return ask(MEETINGS, undefined, { method: "POST", body: { case_id: caseId, hours } });
}

export function endMeeting(code: string): Promise<unknown> {
  return ask(`${MEETINGS}/${encodeURIComponent(code)}`, undefined, { method: "DELETE" });
}

/** Where everyone reads what was shown and agreed. */
export function minutesOf(code: string): string {
  return `/meet/${encodeURIComponent(code)}/minutes`;
}

/** A page's full address with the key behind the mark that no browser sends. */
export function withKey(path: string, key: string): string {
  return `${new URL(path, location.origin).href.split("#")[0]}#${key}`;
}
