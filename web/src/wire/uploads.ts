// Sends a file of data and follows what is found in it. Nothing is changed until it is accepted.
import { ask, AskError, leave, TOKEN_HEADER } from "./ask.ts";
import type { EditDone } from "./edits.ts";
import type { Finding } from "./findings.ts";
import type { Work } from "./work.ts";

export interface Difference {
  readonly added: number;
  readonly removed: number;
  readonly changed: number;
  /** A few of them in words, or as key, column, old and new. */
  readonly examples: readonly (string | Example)[];
}

export interface Example {
  readonly key: string;
  readonly column?: string;
  readonly old?: unknown;
  readonly new?: unknown;
}

export interface UploadTold {
  readonly upload_id: string;
  readonly faults: readonly Finding[];
  readonly warnings: readonly Finding[];
  readonly difference: Readonly<Record<string, Difference>>;
  readonly data_version: string | null;
  readonly name: string;
}

/** `sent` hears the share 0..1 that has left; its answer is work to be followed. */
export async function sendUpload(file: File, sent: (share: number) => void, signal: AbortSignal): Promise<Work<UploadTold>> {
  try {
    return await sendOnce(file, sent, signal);
  } catch (error) {
    if (!(error instanceof AskError) || signal.aborted || !(await leave.renew(error))) throw error;
    return sendOnce(file, sent, signal);
  }
}

function sendOnce(file: File, sent: (share: number) => void, signal: AbortSignal): Promise<Work<UploadTold>> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest(); // the one that says how far sending is
    request.open("POST", `/api/uploads?name=${encodeURIComponent(file.name)}`);
    request.setRequestHeader("Content-Type", "application/octet-stream");
    if (leave.token) request.setRequestHeader(TOKEN_HEADER, leave.token);
    request.responseType = "json";
    request.upload.onprogress = ({ loaded, total }) => sent(total > 0 ? loaded / total : 0);
    request.onload = () => {
      const body = request.response as { error?: { code?: string; message?: string } } | null;
      if (request.status < 300 && body) resolve(body as unknown as Work<UploadTold>);
      else reject(new AskError(body?.error?.code ?? `status_${request.status}`, body?.error?.message ?? `The service refused the file (${request.status}).`, request.status));
    };
    request.onerror = () => reject(new AskError("no_answer", "The service does not answer, or broke off. Nothing was changed."));
    request.onabort = () => reject(new AskError("stopped", "Stopped. Nothing was changed."));
    signal.addEventListener("abort", () => request.abort());
    request.send(file);
  });
}

export function acceptUpload(uploadId: string, asked: { readonly id: string; readonly why: string; readonly by?: string }): Promise<EditDone> {
  return ask(`/api/uploads/${encodeURIComponent(uploadId)}/accept`, undefined, { method: "POST", body: asked });
}

export function discardUpload(uploadId: string): Promise<unknown> {
  return ask(`/api/uploads/${encodeURIComponent(uploadId)}`, undefined, { method: "DELETE" });
}
