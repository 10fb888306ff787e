// Fetches the losses of one kind of year and one guild.
import { ask } from "./ask.ts";
import { ofDataInView } from "./case_in_view.ts";
import type { Losses } from "./contract.ts";

export function fetchLosses(year: string, guild: string, as: string, signal: AbortSignal): Promise<Losses> {
  const words = new URLSearchParams({ year, guild });
  if (as) words.set("as", as);
  return ask<Losses>(ofDataInView(`/api/losses?${words.toString()}`), signal);
}
