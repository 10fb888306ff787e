// What a screen is: shown under its address, and taken down when another is.
import type { Dispose } from "../core/dispose.ts";

export interface Screen {
  readonly title: string;
  readonly element: HTMLElement;
  /** Where "back" leads; null on the first screen. */
  readonly back: string | null;
  readonly dispose: Dispose;
}

export const RUNS = "#";
export const PHONE = "#phone";

export function runAddress(runId: string): string {
  return `#run=${runId}`;
}

export function stopAddress(runId: string, code: string): string {
  return `#run=${runId}&stop=${encodeURIComponent(code)}`;
}
