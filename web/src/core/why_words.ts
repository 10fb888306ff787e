// The sentences of the why panel.
import { decimals, percent } from "./numbers.ts";

/** "1st", "22nd", "113th". */
export function ordinal(count: number): string {
  const tens = count % 100;
  const last = tens >= 11 && tens <= 13 ? 0 : count % 10;
  const ending = ["th", "st", "nd", "rd"][last] ?? "th";
  return `${decimals(count, 0)}${ending}`;
}

/** "7th of 197: it takes 3 % of the drifters that pass it, by worth; 4.9 % of the loss ...". */
export function whySentence(
  rank: number,
  of: number,
  takenOfPassing: number | null,
  lossShare: number,
): string {
  const place = `${ordinal(rank)} of ${decimals(of, 0)}`;
  if (lossShare === 0) return `${place}: no loss is laid to it in the years used.`;
  const loss = `${percent(lossShare)} of the loss to pumps in this catchment`;
  if (takenOfPassing === null) return `${place}: it makes ${loss}.`;
  return `${place}: it takes ${percent(takenOfPassing)} of the drifters that pass it, by worth; ${loss}.`;
}

const SPACE = "\u00a0";

/** "0.72", "1.05", "14": a multiple, to hundredths below ten. */
export function timesText(times: number): string {
  return decimals(times, times < 10 ? 2 : 0);
}

/** The river of a reach's name: "Lantern River" of "Lantern River, reach 41 of 52". */
export function riverOf(reachName: string): string {
  return reachName.split(",")[0]?.trim() ?? reachName;
}

/** A name inside a sentence: no capital at its head, abbreviations as they are. */
export function inSentence(name: string): string {
  return /^[A-Z][a-z]/.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name;
}

/** How far dry, median and wet years stand from the mean: "0.72 × the mean in dry years, ...". */
export function yearsAsMultiples(
  mean: number,
  years: readonly (readonly [string, number | null | undefined])[],
): [string, string][] {
  if (!(mean > 0)) return [];
  return years
    .filter((each): each is readonly [string, number] => each[1] != null)
    .map(([name, adults]) => [name, `${timesText(adults / mean)}${SPACE}×${SPACE}the mean`]);
}

export function basisWord(basis: string | null): string {
  return basis ? basis.replaceAll("_", " ") : "basis not stated";
}

/** "pump head m" of "offtakes.pump_head_m", for inputs that are missing. */
export function columnWords(column: string): string {
  const name = column.split(".").pop() ?? column;
  return name.replaceAll("_", " ");
}
