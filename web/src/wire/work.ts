// Long work of the service: begun with a question, looked after until it is done, stopped when told.
import { ask, type Clash } from "./ask.ts";
import { ofDataInView } from "./case_in_view.ts";

export interface Work<Answer> {
  readonly id: string;
  readonly state: "working" | "done" | "stopped" | "failed";
  readonly done: number;
  readonly total: number;
  /** Work that is not done may have a first answer. */
  readonly answer: Answer | null;
  readonly error: { readonly code: string; readonly message: string; readonly clash?: readonly Clash[] } | null;
}

export interface WorkCalls<Asked, Answer> {
  readonly begin: (asked: Asked) => Promise<Work<Answer>>;
  readonly read: (id: string, signal: AbortSignal) => Promise<Work<Answer>>;
  readonly stop: (id: string) => Promise<unknown>;
}

const WAIT_S = 0.5;

export function workAt<Asked, Answer>(address: string): WorkCalls<Asked, Answer> {
  const one = (id: string): string => `/api/work/${encodeURIComponent(id)}`;
  return {
    begin: (body) => ask(ofDataInView(address), undefined, { method: "POST", body }),
    read: (id, signal) => ask(`${one(id)}?wait_s=${WAIT_S}`, signal),
    stop: (id) => ask(one(id), undefined, { method: "DELETE" }),
  };
}
