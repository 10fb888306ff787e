// What fields are called in words, and at which of them a note cannot be sent as it is.
import type { Form } from "../wire/field.ts";
import type { Noted } from "./notebook.ts";
import { packOf } from "./packs.ts";

export type Labels = ReadonlyMap<string, readonly Form[]>;

export async function labelsOf(runs: readonly string[]): Promise<Labels> {
  const packs = await Promise.all([...new Set(runs)].map(async (id) => [id, (await packOf(id))?.forms ?? []] as const));
  return new Map(packs);
}

export function label(labels: Labels, runId: string, field: string): string {
  return labels.get(runId)?.find((form) => form.field === field)?.label ?? field;
}

/** Stop and field of each note that was refused or cannot be understood. */
export async function faultyAt({ notes, writing }: Noted): Promise<string[]> {
  const faulty = [...notes.filter((each) => each.state === "refused").map((each) => each.note), ...writing.filter((each) => each.fault !== "")];
  const labels = await labelsOf(faulty.map((each) => each.run_id));
  return faulty.map(({ run_id, code, field }) => `stop ${code}, ${label(labels, run_id, field)}`);
}
