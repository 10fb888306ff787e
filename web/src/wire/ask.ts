// Asks the service, and turns whatever goes wrong into one kind of error with a plain sentence.

/** A rule that cannot be met, and by how much. */
export interface Clash {
  readonly rule: string;
  readonly short_by: number;
}

export interface Asking {
  readonly method?: "POST" | "DELETE";
  readonly body?: unknown;
  /** Its refusal is told at once: nobody is asked to sign in again for it. */
  readonly final?: boolean;
}

/** What lets the page ask: the token that goes with whatever changes something, and what may be done
 * about a refusal; true where it is worth asking once more. `hasEnded` tells of a session that is over while
 * the service answers on, as it answers the public. */
export const leave: { token: string; renew: (refused: AskError) => Promise<boolean>; hasEnded: () => Promise<boolean> } = {
  token: "",
  renew: () => Promise.resolve(false),
  hasEnded: () => Promise.resolve(false),
};

export const TOKEN_HEADER = "X-Slackwater-Csrf";

/** Done, and there is nothing to say. */
const NOTHING_TOLD = 204;
const UNKNOWN = 401;

export class AskError extends Error {
  constructor(
    readonly code: string,
    message: string,
    /** 0 where there was no answer at all. */
    readonly status = 0,
    readonly clash: readonly Clash[] = [],
    /** The whole of what was told of the error. */
    readonly told: Readonly<Record<string, unknown>> = {},
  ) {
    super(message);
  }
}

export async function ask<Answer>(address: string, signal?: AbortSignal, how: Asking = {}): Promise<Answer> {
  const ended = how.final || how.method ? false : leave.hasEnded(); // asked beside it, so nothing takes longer
  try {
    const answer = await askOnce<Answer>(address, signal, how);
    if (!(await ended) || !(await leave.renew(asTheStranger()))) return answer;
    return await askOnce<Answer>(address, signal, how);
  } catch (error) {
    if (!(error instanceof AskError) || how.final || !(await leave.renew(error))) throw error;
    return askOnce(address, signal, how);
  }
}

/** Of an answer that is the public's, though somebody asked who was signed in. */
function asTheStranger(): AskError {
  return new AskError("sign_in_needed", "Your sign-in has ended.", UNKNOWN);
}

async function askOnce<Answer>(address: string, signal: AbortSignal | undefined, how: Asking): Promise<Answer> {
  let response: Response;
  const told = how.body === undefined ? {} : { body: JSON.stringify(how.body) };
  const headers = {
    Accept: "application/json",
    ...("body" in told ? { "Content-Type": "application/json" } : {}),
    ...(how.method && leave.token ? { [TOKEN_HEADER]: leave.token } : {}),
  };
  try {
    response = await fetch(address, { signal: signal ?? null, method: how.method ?? "GET", headers, ...told });
  } catch (error) {
    if (signal?.aborted) throw error;
    throw new AskError("no_answer", "The service does not answer. Is it still running?");
  }
  const body: unknown = await response.json().catch(() => null);
  if (!response.ok) throw refusal(response.status, body);
  if (body === null && response.status !== NOTHING_TOLD) throw new AskError("unreadable", "The service's answer cannot be read.");
  return body as Answer;
}

function refusal(status: number, body: unknown): AskError {
  const told = (body as { error?: Readonly<Record<string, unknown>> } | null)?.error;
  const code = typeof told?.code === "string" ? told.code : `status_${status}`;
  const message =
    typeof told?.message === "string" ? told.message : `The service refused (${status}).`;
  const clash = Array.isArray(told?.clash) ? (told.clash as Clash[]) : [];
  return new AskError(code, message, status, clash, told);
}
