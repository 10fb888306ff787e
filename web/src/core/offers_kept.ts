// The offers as last heard of the service, shared by panel and drawer; and who was found to come in for
// whoever declined.
import type { Offer, Offers, Reserve } from "../wire/offers.ts";
import type { Dispose } from "./dispose.ts";

export class OffersKept {
  now: Offers | null = null;
  trouble = "";
  readonly reserves = new Map<string, Reserve>();
  readonly #fetch: () => Promise<Offers>;
  readonly #listeners = new Set<() => void>();

  constructor(fetch: () => Promise<Offers>) {
    this.#fetch = fetch;
  }

  of(code: string): Offer | null {
    return this.now?.offers.find((each) => each.code === code) ?? null;
  }

  onChange(hear: () => void): Dispose {
    this.#listeners.add(hear);
    return () => {
      this.#listeners.delete(hear);
    };
  }

  async load(): Promise<void> {
    try {
      [this.now, this.trouble] = [await this.#fetch(), ""];
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : "The offers cannot be read.";
    }
    for (const hear of [...this.#listeners]) hear();
  }
}
