// The facilitator's line to the meeting: one thing is asked after another, so that no older answer ever
// overtakes a newer one, and it knows since when nothing has answered.
import type { Dispose } from "../core/dispose.ts";
import { type Asked, askMeeting, AskError } from "./wire.ts";

const NO_ANSWER_MS = 8_000;
/** Closing keeps a case and makes the minutes. */
const LONG_MS = 120_000;

/** Why the page can go no further: another key, another machine, or no meeting any more. */
export type Over = "wrong_key" | "not_from_here" | "ended";

export interface LineHears {
  /** Since when nothing has answered; null while it does. */
  readonly link: (lostSince: Date | null) => void;
  readonly over: (why: Over, words: string, told: Readonly<Record<string, unknown>>) => void;
}

export interface LeadLine {
  readonly ask: <Answer>(path: string, how?: Pick<Asked, "method" | "body">) => Promise<Answer>;
  /** Something is asked and not yet answered. */
  readonly isBusy: () => boolean;
  readonly isGone: () => boolean;
  readonly dispose: Dispose;
}

export function openLine(code: string, key: string, hears: LineHears): LeadLine {
  const whole = new AbortController();
  let lostSince: Date | null = null;
  let waiting = 0;
  let turn: Promise<unknown> = Promise.resolve();

  function ask<Answer>(path: string, how: Pick<Asked, "method" | "body"> = {}): Promise<Answer> {
    waiting += 1;
    const mine = turn.then(() => once<Answer>(path, how)).finally(() => (waiting -= 1));
    turn = mine.catch(() => undefined);
    return mine;
  }

  async function once<Answer>(path: string, how: Pick<Asked, "method" | "body">): Promise<Answer> {
    // What is pressed while nothing answers is not done later, when the room has gone on.
    if (how.method && lostSince) throw new AskError("no_answer", "Not done: the meeting does not answer just now.");
    const signal = AbortSignal.any([whole.signal, AbortSignal.timeout(how.method === "POST" ? LONG_MS : NO_ANSWER_MS)]);
    try {
      const answer = await askMeeting<Answer>(code, path, { ...how, key, signal });
      tell(null);
      return answer;
    } catch (error) {
      if (whole.signal.aborted) throw error;
      const told = error instanceof AskError ? error : new AskError("no_answer", "The meeting did not answer in time.");
      tell(told.status ? null : (lostSince ?? new Date()));
      const why = whyOver(told);
      if (why) {
        whole.abort();
        hears.over(why, told.message, told.told);
      }
      throw told;
    }
  }

  function tell(since: Date | null): void {
    if (since === lostSince) return;
    lostSince = since;
    hears.link(since);
  }

  return { ask, isBusy: () => waiting > 0, isGone: () => whole.signal.aborted, dispose: () => whole.abort() };
}

function whyOver({ code, status }: AskError): Over | null {
  if (code === "wrong_key" || code === "not_from_here") return code;
  return status === 404 || status === 410 ? "ended" : null;
}
