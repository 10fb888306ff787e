// What a file would change, table by table, in words; and which of its findings have a place on the map.
import type { Finding } from "../wire/findings.ts";
import type { Difference, Example, UploadTold } from "../wire/uploads.ts";
import { given } from "./paste_preview.ts";
import type { Scene } from "./scene.ts";

const SETTINGS = "catchment";
const OTHER_SETTINGS = "The file brings settings of its own: weights, prices' currency, ranges. They would take the place of those that stand.";

/** "offtakes: 2 rows added, 1 taken out, 14 changed". */
export function differenceLines(difference: UploadTold["difference"]): { readonly table: string; readonly words: string; readonly examples: readonly string[] }[] {
  return Object.entries(difference)
    .filter(([, each]) => each.added || each.removed || each.changed)
    .map(([table, each]) =>
      table === SETTINGS ? { table: "settings", words: "others", examples: [OTHER_SETTINGS] } : { table, words: countWords(each), examples: each.examples.map(exampleWords) },
    );
}

function countWords({ added, removed, changed }: Difference): string {
  const parts: readonly (readonly [number, string])[] = [[added, "added"], [removed, "taken out"], [changed, "changed"]];
  return parts.filter(([count]) => count > 0).map(([count, word]) => `${count.toLocaleString("en-GB")} ${count === 1 ? "row" : "rows"} ${word}`).join(", ");
}

function exampleWords(example: string | Example): string {
  if (typeof example === "string") return example;
  const { key, column, old, new: next } = example;
  if (!column) return old == null ? `${key} added` : next == null ? `${key} taken out` : key;
  return `${key}, ${column}: ${given(old)} to ${given(next)}`;
}

/** Rows of what the findings are about: those of the page's own offtakes and reaches. */
export function findingPlaces(findings: readonly Finding[], { offtakes, reaches }: Scene): { readonly offtakes: readonly number[]; readonly reaches: readonly number[] } {
  const rowsOf = (table: string, ids: readonly string[]): number[] => {
    const keys = new Set(findings.filter((each) => each.table === table).map(({ key }) => key));
    return ids.flatMap((id, row) => (keys.has(id) ? [row] : []));
  };
  return { offtakes: rowsOf("offtakes", offtakes.offtake_id), reaches: rowsOf("reaches", reaches.reach_id) };
}
