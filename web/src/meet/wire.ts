// What the meeting's pages ask, and what they are told: one way of asking, one stream that comes back by itself.
import type { Dispose } from "../core/dispose.ts";
import { AskError } from "../wire/ask.ts";
import type { Now } from "./told.ts";

export { AskError };
export * from "./told.ts";

export interface Who {
  /** A phone's token. */
  readonly phone?: string;
  /** The facilitator's key. */
  readonly key?: string;
}

export interface Asked extends Who {
  readonly method?: "GET" | "POST" | "PUT";
  readonly body?: unknown;
  readonly signal?: AbortSignal;
}

export const addressOf = (code: string, path = ""): string => `/api/meet/${encodeURIComponent(code)}${path}`;

/** Asks one meeting; no cookie goes with it, so nobody's session ever does. */
export async function askMeeting<Answer>(code: string, path: string, asked: Asked = {}): Promise<Answer> {
  const body = asked.body === undefined ? {} : { body: JSON.stringify(asked.body) };
  let response: Response;
  try {
    response = await fetch(addressOf(code, path), {
      method: asked.method ?? "GET",
      credentials: "omit",
      signal: asked.signal ?? null,
      headers: { Accept: "application/json", ...("body" in body ? { "Content-Type": "application/json" } : {}), ...headersOf(asked) },
      ...body,
    });
  } catch (error) {
    if (asked.signal?.aborted) throw error;
    throw new AskError("no_answer", "The meeting does not answer. Is this device on its network?");
  }
  const told: unknown = await response.json().catch(() => null);
  if (!response.ok) throw refusal(response.status, told);
  return told as Answer;
}

function refusal(status: number, told: unknown): AskError {
  const error = (told as { error?: Readonly<Record<string, unknown>> } | null)?.error ?? {};
  const text = (value: unknown, otherwise: string): string => (typeof value === "string" ? value : otherwise);
  return new AskError(text(error["code"], `status_${status}`), text(error["message"], `The meeting refused (${status}).`), status, [], error);
}

function headersOf({ phone, key }: Who): Record<string, string> {
  return { ...(phone ? { "X-Slackwater-Phone": phone } : {}), ...(key ? { "X-Slackwater-Key": key } : {}) };
}

export interface Following extends Who {
  readonly now: (now: Now) => void;
  /** Since when nothing has come; null while it does. */
  readonly link: (lostSince: Date | null) => void;
  readonly ended: (minutes: boolean) => void;
  /** This phone's token is no longer known (or it was dropped): nothing more comes by it. */
  readonly refused?: (error: AskError) => void;
}

/** The service says something every five seconds; this long without a word and it is gone. */
const SILENT_MS = 12_000;
/** A blink of the net is nothing to tell a hall. */
const BLINK_MS = 2_000;
const [FIRST_AGAIN_MS, MOST_AGAIN_MS] = [500, 5_000];
const REFUSED = [401, 403, 410];

/** Follows what is shown until disposed; lost, it comes back by itself, however long that takes. */
export function follow(code: string, following: Following): Dispose {
  const whole = new AbortController();
  const link = makeLink(following.link);
  let wait = FIRST_AGAIN_MS;

  const hear = (kind: string, data: string): boolean => {
    link.held();
    wait = FIRST_AGAIN_MS;
    if (kind === "now") show(following, JSON.parse(data) as Now);
    if (kind === "ended") following.ended((JSON.parse(data) as { minutes?: boolean }).minutes === true);
    return kind === "ended";
  };
  const once = async (): Promise<boolean> => {
    try {
      if (await listen(code, following, whole.signal, hear)) return true;
    } catch (error) {
      if (whole.signal.aborted || isOver(error, following)) return true;
    }
    link.lost();
    // Where a proxy keeps streams back, what is shown is asked for instead.
    const now = await askMeeting<Now>(code, "/now", { signal: whole.signal }).catch(() => null);
    if (whole.signal.aborted || !now) return whole.signal.aborted;
    link.held();
    show(following, now);
    return false;
  };
  const on = async (): Promise<void> => {
    while (!(await once())) {
      await pause(wait * (0.75 + Math.random() / 2), whole.signal); // so that a hall does not come back as one
      wait = Math.min(MOST_AGAIN_MS, wait * 2);
    }
    link.held();
  };
  void on();
  return () => whole.abort();
}

/** What goes wrong while it is shown is no fault of the net. */
function show({ now: tell }: Following, now: Now): void {
  try {
    tell(now);
  } catch (error) {
    reportError(error);
  }
}

function makeLink(tell: Following["link"]): { readonly held: () => void; readonly lost: () => void } {
  let [timer, told] = [0, false];
  return {
    held: () => {
      clearTimeout(timer);
      timer = 0;
      if (told) tell(null);
      told = false;
    },
    lost: () => {
      const since = new Date();
      timer ||= window.setTimeout(() => {
        told = true;
        tell(since);
      }, BLINK_MS);
    },
  };
}

function isOver(error: unknown, { ended, refused }: Following): boolean {
  if (!(error instanceof AskError)) return false;
  if (error.code === "no_meeting") ended(error.told["minutes"] === true);
  else if (!REFUSED.includes(error.status)) return false;
  else refused?.(error);
  return true;
}

/** Reads one stream to its end; true where the meeting ended with it. */
async function listen(code: string, who: Who, whole: AbortSignal, hear: (kind: string, data: string) => boolean): Promise<boolean> {
  const own = new AbortController();
  const stop = (): void => own.abort();
  whole.addEventListener("abort", stop);
  let timer = setTimeout(stop, SILENT_MS);
  try {
    const response = await fetch(addressOf(code, "/news"), { credentials: "omit", cache: "no-store", signal: own.signal, headers: { Accept: "text/event-stream", ...headersOf(who) } });
    if (!response.ok || !response.body) throw refusal(response.status, await response.json().catch(() => null));
    const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
    let text = "";
    for (let part = await reader.read(); !part.done; part = await reader.read()) {
      clearTimeout(timer);
      timer = setTimeout(stop, SILENT_MS);
      const blocks = (text + part.value).replaceAll("\r", "").split("\n\n");
      text = blocks.pop() ?? "";
      for (const block of blocks) if (hear(field(block, "event"), field(block, "data"))) return true;
    }
    return false;
  } finally {
    clearTimeout(timer);
    whole.removeEventListener("abort", stop);
    own.abort();
  }
}

function field(block: string, name: string): string {
  const lines = block.split("\n").filter((line) => line.startsWith(`${name}:`));
  return lines.map((line) => line.slice(name.length + 1).trim()).join("\n");
}

function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((done) => {
    const end = (): void => {
      clearTimeout(timer);
      signal.removeEventListener("abort", end);
      done();
    };
    const timer = setTimeout(end, ms);
    signal.addEventListener("abort", end);
  });
}
