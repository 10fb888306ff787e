// Is there a newer edition of the data than the one on the page? Looks now and then, and at once and
// closely after a change of one's own. While nobody sees the page it rests, and looks once it is seen.
import type { EditionNow } from "../wire/edits.ts";
import type { Dispose } from "./dispose.ts";

export interface Heard {
  /** A newer edition can be shown. */
  readonly ready: (now: EditionNow, own: boolean) => void;
  /** Data have changed that are not worked out yet; `failure` says why they never will be. */
  readonly behind: (now: EditionNow, own: boolean) => void;
}

export type AskEdition = (signal: AbortSignal, since?: string) => Promise<EditionNow>;

/** Whether the page is seen just now. */
export interface Sight {
  readonly isHidden: () => boolean;
  readonly onSeen: (hear: () => void) => Dispose;
}

const ALWAYS_SEEN: Sight = { isHidden: () => false, onSeen: () => () => undefined };
const CALM_MS = 8000;
const SOON_MS = 400;

export class EditionWatch {
  #shown: number;
  #own = 0;
  #told = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #asking = new AbortController();
  readonly #edition: string;
  readonly #ask: AskEdition;
  readonly #hear: Heard;
  readonly #calmMs: number;
  readonly #sight: Sight;
  readonly #unseen: Dispose;
  #isDue = false;

  /** `revision` is the one on the page. */
  constructor(edition: string, revision: number, ask: AskEdition, hear: Heard, calmMs = CALM_MS, sight = ALWAYS_SEEN) {
    [this.#edition, this.#shown, this.#ask, this.#hear, this.#calmMs, this.#sight] = [edition, revision, ask, hear, calmMs, sight];
    this.#unseen = sight.onSeen(() => {
      if (this.#isDue) this.#rest(0);
    });
    this.#rest(calmMs);
  }

  /** Something was written from this page. */
  wrote(revision: number): void {
    this.#own = Math.max(this.#own, revision);
    this.#asking.abort();
    this.#rest(0);
  }

  get waiting(): boolean {
    return this.#own > this.#shown;
  }

  readonly dispose: Dispose = () => {
    this.#unseen();
    clearTimeout(this.#timer);
    this.#asking.abort();
  };

  #rest(ms: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#look(), ms);
  }

  async #look(): Promise<void> {
    this.#isDue = this.#sight.isHidden();
    if (this.#isDue) return;
    const { signal } = (this.#asking = new AbortController());
    try {
      const now = await this.#ask(signal, this.waiting ? this.#edition : undefined);
      if (signal.aborted) return;
      this.#take(now);
    } catch {
      if (signal.aborted) return; // no answer: looked for again
    }
    this.#rest(this.waiting ? SOON_MS : this.#calmMs);
  }

  #take(now: EditionNow): void {
    if (now.revision > this.#shown && now.revision >= this.#own) {
      if (now.revision === this.#told) return;
      const own = this.waiting;
      [this.#told] = [now.revision];
      if (own) this.#shown = now.revision;
      this.#hear.ready(now, own);
    } else if (now.latest_revision > this.#shown) this.#hear.behind(now, this.waiting);
  }
}
