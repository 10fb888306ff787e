// Asks the service, and turns whatever goes wrong into one kind of error with a plain sentence.

export class AskError extends Error {
  constructor(
    readonly code: string,
    message: string,
  ) {
    super(message);
  }
}

export async function ask<Answer>(address: string, signal: AbortSignal): Promise<Answer> {
  let response: Response;
  try {
    response = await fetch(address, { signal, headers: { Accept: "application/json" } });
  } catch (error) {
    if (signal.aborted) throw error;
    throw new AskError("no_answer", "The service does not answer. Is it still running?");
  }
  const body: unknown = await response.json().catch(() => null);
  if (!response.ok) throw refusal(response.status, body);
  if (body === null) throw new AskError("unreadable", "The service's answer cannot be read.");
  return body as Answer;
}

function refusal(status: number, body: unknown): AskError {
  const told = (body as { error?: { code?: unknown; message?: unknown } } | null)?.error;
  const code = typeof told?.code === "string" ? told.code : `status_${status}`;
  const message =
    typeof told?.message === "string" ? told.message : `The service refused (${status}).`;
  return new AskError(code, message);
}
