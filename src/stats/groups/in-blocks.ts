/** Things sorted by their names: each thing's number, and the names in the order of first appearance. */
export type Sorting = { readonly of: readonly number[]; readonly names: readonly string[] };

export function sortingOf(names: readonly string[], order: readonly string[] = []): Sorting {
  const known = [...new Set([...order.filter((name) => names.includes(name)), ...names])];
  const number = new Map(known.map((name, i) => [name, i]));
  return { of: names.map((name) => number.get(name) as number), names: known };
}

/** Values less the mean of their block. */
export function withinBlocks(values: readonly number[], blocks: Sorting): number[] {
  const sums = new Float64Array(blocks.names.length);
  const counts = new Float64Array(blocks.names.length);
  for (const [i, b] of blocks.of.entries()) {
    sums[b] = (sums[b] as number) + (values[i] as number);
    counts[b] = (counts[b] as number) + 1;
  }
  return values.map((value, i) => {
    const b = blocks.of[i] as number;
    return value - (sums[b] as number) / (counts[b] as number);
  });
}

/** The rows of each block. */
export function rowsOfBlocks(blocks: Sorting): number[][] {
  const rows: number[][] = blocks.names.map(() => []);
  for (const [i, b] of blocks.of.entries()) (rows[b] as number[]).push(i);
  return rows;
}
