/**
 * The known name that an unknown one was probably meant to be: the nearest by letters changed, dropped, added or swapped,
 * if no more than a third of the name differs.
 *
 * @example
 * closestName("bury", ["buryFullMm", "burry"]) // "burry"
 */
export function closestName(name: string, known: readonly string[]): string | undefined {
  let closest: string | undefined;
  let least = Math.floor(Math.max(3, name.length) / 3) + 1;
  for (const candidate of known) {
    const distance = changesBetween(name.toLowerCase(), candidate.toLowerCase());
    if (distance < least) {
      least = distance;
      closest = candidate;
    }
  }
  return closest;
}

/** Optimal string alignment distance: single letters changed, dropped, added, or two neighbours swapped. */
function changesBetween(a: string, b: string): number {
  if (Math.abs(a.length - b.length) > 20) return Number.POSITIVE_INFINITY;
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(
        (last[j] as number) + 1,
        (row[j - 1] as number) + 1,
        (last[j - 1] as number) + same,
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, (before[j - 2] as number) + 1);
      row.push(least);
    }
    before = last;
    last = row;
  }
  return last[b.length] as number;
}
