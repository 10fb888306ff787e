// One's own tokens, by which a program reads the data under one's name.
import { ask } from "./ask.ts";

export type Scope = "public" | "read" | "all";

export interface Token {
  readonly id: string;
  readonly title: string;
  readonly scope: Scope;
  readonly made_at: string;
  readonly ends_at: string;
  /** Null while it was never used. */
  readonly seen_at: string | null;
}

export interface TokenAsked {
  readonly title: string;
  readonly scope: Scope;
  readonly days: number;
}

const TOKENS = "/api/tokens";

export function fetchTokens(): Promise<{ readonly tokens: readonly Token[] }> {
  return ask(TOKENS);
}

/** The secret is told this once. */
export function makeToken(asked: TokenAsked): Promise<Token & { readonly secret: string }> {
  return ask(TOKENS, undefined, { method: "POST", body: asked });
}

export function endToken(id: string): Promise<unknown> {
  return ask(`${TOKENS}/${encodeURIComponent(id)}`, undefined, { method: "DELETE" });
}

/** Where a program finds the data. */
export function dataAddress(): string {
  return `${location.origin}/ogc`;
}
