// Sends a write until its answer has come. The same write keeps its id, so that one whose answer was
// lost is done once however often it is sent.

export type Sent<Done> =
  | { readonly state: "done"; readonly done: Done }
  | { readonly state: "refused"; readonly error: Refusal }
  /** No answer came: it may or may not have been written. */
  | { readonly state: "unknown"; readonly message: string };

export interface Refusal {
  readonly status: number;
  readonly message: string;
  /** What else the service told. */
  readonly told: Readonly<Record<string, unknown>>;
}

const PAUSES_MS: readonly number[] = [500, 1500, 4000];

export class Sender<Asked extends object, Done> {
  #content = "";
  #id = "";
  readonly #post: (asked: Asked & { readonly id: string }) => Promise<Done>;
  readonly #newId: () => string;
  readonly #pausesMs: readonly number[];

  constructor(post: (asked: Asked & { readonly id: string }) => Promise<Done>, newId: () => string = makeId, pausesMs = PAUSES_MS) {
    [this.#post, this.#newId, this.#pausesMs] = [post, newId, pausesMs];
  }

  /** `again` hears how often it was sent in vain. */
  async send(asked: Asked, again: (times: number) => void = () => undefined): Promise<Sent<Done>> {
    const content = JSON.stringify(asked);
    if (content !== this.#content) [this.#content, this.#id] = [content, this.#newId()];
    for (let times = 0; ; times += 1) {
      try {
        return { state: "done", done: await this.#post({ ...asked, id: this.#id }) };
      } catch (error) {
        const refusal = refusalOf(error);
        if (!mayBeSentAgain(refusal.status)) return { state: "refused", error: refusal };
        const pause = this.#pausesMs[times];
        if (pause === undefined) return { state: "unknown", message: refusal.message };
        again(times + 1);
        await new Promise((resolve) => setTimeout(resolve, pause));
      }
    }
  }
}

/** No answer, or one that says nothing about the write itself. */
function mayBeSentAgain(status: number): boolean {
  return status === 0 || status === 429 || status >= 500;
}

function refusalOf(error: unknown): Refusal {
  const told = error as Partial<Refusal> | null;
  return { status: told?.status ?? 0, message: told?.message ?? "The answer cannot be read.", told: told?.told ?? {} };
}

/** A random UUID, also where the page is not served securely. */
export function makeId(): string {
  if (typeof crypto.randomUUID === "function") return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x40;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(bytes, (each) => each.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
