// Which offtake stands at which place of the list?

/** Rows in order of rank. */
export function rowsByRank(rank: readonly number[]): number[] {
  const rows: number[] = new Array<number>(rank.length);
  rank.forEach((place, row) => {
    rows[place - 1] = row;
  });
  return rows;
}
