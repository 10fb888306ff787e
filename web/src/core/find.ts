// Which offtakes does a word lead to? By code, label, river or district, the most telling match first.
import type { Scene } from "./scene.ts";

export interface Found {
  readonly row: number;
  /** What was met besides the code: a label, a river, a district. */
  readonly by: string;
}

export interface Findable {
  readonly code: string;
  readonly texts: readonly string[];
}

export function findables({ offtakes, reaches }: Scene): Findable[] {
  return offtakes.offtake_id.map((code, row) => ({
    code,
    texts: [
      offtakes.label[row] ?? "",
      reaches.name[offtakes.reach[row] ?? -1] ?? "",
      offtakes.district[row] ?? "",
    ],
  }));
}

/** At most `most` rows: code alike, code begins, code holds, a text begins, a text holds; then by `order`. */
export function find(all: readonly Findable[], words: string, order: Int32Array, most: number): Found[] {
  const wanted = plain(words);
  if (!wanted) return [];
  const byClass: Found[][] = [[], [], [], [], []];
  for (const row of order) {
    const one = all[row];
    if (!one) continue;
    const [level, by] = match(one, wanted);
    if (level >= 0) byClass[level]?.push({ row, by });
  }
  return byClass.flat().slice(0, most);
}

function match({ code, texts }: Findable, wanted: string): [number, string] {
  const short = plain(code);
  const met = texts.find((text) => plain(text).includes(wanted)) ?? "";
  const shown = met || (texts.find((text) => text !== "") ?? "");
  if (short === wanted) return [0, shown];
  if (short.startsWith(wanted)) return [1, shown];
  if (short.includes(wanted)) return [2, shown];
  if (met) return [plain(met).startsWith(wanted) ? 3 : 4, met];
  return [-1, ""];
}

/** Letters and figures alone, so that "ln 12", "LN-012" and accents do not matter. */
function plain(text: string): string {
  return text.normalize("NFKD").toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");
}
