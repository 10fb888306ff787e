// The sentences of the page, made from the numbers shown beside them.
import { decimals, percent } from "./numbers.ts";

/** How many of the list's first the glance speaks of: about a tenth, a round number. */
export function headCount(count: number): number {
  const tenth = count / 10;
  const round = [1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500, 1000];
  return round.reduce((best, each) => (Math.abs(each - tenth) < Math.abs(best - tenth) ? each : best));
}

/** The whole catchment in one sentence; shares of the loss in order of rank. */
export function glance(lossShares: readonly number[]): string {
  const count = lossShares.length;
  const head = headCount(count);
  const share = lossShares.slice(0, head).reduce((sum, each) => sum + each, 0);
  const first = head === 1 ? "the first makes" : `the first ${decimals(head, 0)} make`;
  const subject = count === 1 ? "1 offtake" : `${decimals(count, 0)} offtakes`;
  return `${subject} ranked; ${first} ${percent(share)} of the loss to pumps.`;
}

/** What the map shows, for those who cannot see it. */
export function mapSummary(count: number, inView: number, firstCode: string): string {
  if (inView === 0) return `Map of ${count} offtakes; none of them in view.`;
  return `Map of ${count} offtakes; ${inView} in view, ${firstCode} ranked highest among them.`;
}

/** One offtake in one sentence. */
export function siteSentence(lossShare: number, overlap: number): string {
  if (lossShare === 0) return "No loss is laid to it in the years used.";
  return (
    `It makes ${percent(lossShare)} of the loss to pumps; its draw and the passing young ` +
    `overlap by ${percent(overlap)} over the year.`
  );
}

const KINDS: Readonly<Record<string, string>> = {
  rail_suction: "Pump on rails",
  fixed_suction: "Fixed pump",
  floating_suction: "Floating pump",
  gravity_channel: "Gravity channel",
};

export function kindWords(kind: string): string {
  return KINDS[kind] ?? kind;
}

/** "cod, perch and gudgeon". */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words[0] ?? "";
  return `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}
