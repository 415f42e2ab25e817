import type { Problem } from "../../problem/mod.ts";
import { differ, problemsOfValues } from "../values.ts";

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

/** Whether in any group the values differ by more than rounding, measured by the largest value of all. */
export function scatterWithin(groups: Groups, of: readonly number[] = groups.flat()): boolean {
  return groups.some((group) => differ(group, of));
}

/** The middle of an ordered list, or the mean of the two in the middle. */
export function medianOf(ordered: ArrayLike<number>): number {
  const half = ordered.length / 2;
  const upper = ordered[Math.floor(half)] as number; // one value or more
  return Number.isInteger(half) ? ((ordered[half - 1] as number) + upper) / 2 : upper;
}

/** Ranks from 1, equal values sharing the mean of theirs, in the order given. */
export function midranks(values: readonly number[]): number[] {
  const ordered = Float64Array.from(values).sort();
  return values.map((value) => {
    const [start, end] = [
      placeOf(ordered, (other) => other >= value),
      placeOf(ordered, (other) => other > value),
    ];
    return (start + end + 1) / 2;
  });
}

/** The first place of an ascending list from which on something holds. */
function placeOf(ordered: Float64Array, holds: (value: number) => boolean): number {
  let low = 0;
  let high = ordered.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (holds(ordered[middle] as number)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** How often each value occurs, the lowest first. */
export function tieCounts(values: readonly number[]): number[] {
  const ordered = Float64Array.from(values).sort();
  const counts: number[] = [];
  for (let start = 0; start < ordered.length; ) {
    let next = start + 1;
    while (ordered[next] === ordered[start]) next += 1;
    counts.push(next - start);
    start = next;
  }
  return counts;
}
