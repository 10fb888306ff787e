// Fetches what is odd in the data, though not wrong.
import { ask } from "./ask.ts";
import { ofDataInView } from "./case_in_view.ts";

export interface Finding {
  readonly table: string;
  readonly key: string;
  readonly column: string;
  readonly value: string;
  readonly remedy: string;
}

export function fetchFindings(as: string, signal: AbortSignal): Promise<{ readonly warnings: readonly Finding[] }> {
  return ask(ofDataInView(`/api/findings${as ? `?as=${encodeURIComponent(as)}` : ""}`), signal);
}
