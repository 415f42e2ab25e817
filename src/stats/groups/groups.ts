import type { Problem } from "../../problem/mod.ts";
import { problemsOfValues } from "../values.ts";

export type Groups = readonly (readonly number[])[];

/** What is wrong with a list of groups, if anything: fewer than two, or one of them too small or not finite. */
export function problemsOfGroups(groups: Groups, least: number, name: string): Problem[] {
  if (groups.length < 2) {
    return [
      {
        code: "STAT_TOO_FEW",
        message: `${name} needs 2 groups, has ${groups.length}.`,
        where: { field: "groups" },
        found: String(groups.length),
        expected: "2 or more",
      },
    ];
  }
  return groups.flatMap((group, i) =>
    problemsOfValues(group, least, `${name}, in each group,`, `groups[${i}]`),
  );
}

/** The middle of an ordered list, or the mean of the two in the middle. */
export function medianOf(ordered: readonly number[]): number {
  const half = ordered.length / 2;
  const upper = ordered[Math.floor(half)] as number; // one value or more
  return Number.isInteger(half) ? ((ordered[half - 1] as number) + upper) / 2 : upper;
}

/** Ranks from 1, equal values sharing the mean of theirs, in the order given. */
export function midranks(values: readonly number[]): number[] {
  const order = values.map((_, i) => i).sort((a, b) => (values[a] as number) - (values[b] as number));
  const ranks = new Array<number>(values.length);
  for (let start = 0; start < order.length; ) {
    let end = start;
    while (end + 1 < order.length && values[order[end + 1] as number] === values[order[start] as number])
      end += 1;
    for (let i = start; i <= end; i++) ranks[order[i] as number] = (start + end) / 2 + 1;
    start = end + 1;
  }
  return ranks;
}

/** How often each value occurs. */
export function tieCounts(values: readonly number[]): number[] {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()];
}
