import type { Drop } from "./reading.ts";
import { rowOf, type Samples, timeOf } from "./samples.ts";

/** A drop in samples from 0: where the maximum stood, and where the lowest after it. */
export type DropSpan = { readonly fromIndex: number; readonly lowIndex: number };

/**
 * Rule R-DROP. From a running maximum M the force falls below M − threshold; the drop ends when it has recovered by the
 * threshold from the lowest, and M starts again there. Only samples from `from` to before `to` are looked at.
 */
export function findDrops(force: Float64Array, from: number, to: number, threshold: number): DropSpan[] {
  const drops: DropSpan[] = [];
  let highest = from;
  let lowest = -1;
  for (let index = from; index < to; index++) {
    const value = force[index] as number;
    if (lowest < 0) {
      if (value > (force[highest] as number)) highest = index;
      else if (value < (force[highest] as number) - threshold) lowest = index;
      continue;
    }
    if (value < (force[lowest] as number)) lowest = index;
    if (value <= (force[lowest] as number) + threshold) continue;
    drops.push({ fromIndex: highest, lowIndex: lowest });
    highest = index;
    lowest = -1;
  }
  if (lowest >= 0) drops.push({ fromIndex: highest, lowIndex: lowest });
  return drops;
}

/**
 * The threshold of rule R-DROP for a pull with this peak, as recorded, and this noise. Where the converter's steps are
 * coarse, one of them back and forth is no drop.
 */
export function dropThreshold(peak: number, noise: number, stepN: number): number {
  return Math.max(0.03 * Math.abs(peak), 6 * noise, 1.6 * stepN);
}

/** The biggest drops, in the order of the record. */
export function biggest(samples: Samples, drops: readonly DropSpan[], most: number): DropSpan[] {
  if (drops.length <= most) return [...drops];
  const size = (drop: DropSpan) =>
    (samples.force[drop.fromIndex] as number) - (samples.force[drop.lowIndex] as number);
  return [...drops]
    .sort((a, b) => size(b) - size(a))
    .slice(0, most)
    .sort((a, b) => a.fromIndex - b.fromIndex);
}

export function toDrop(samples: Samples, { fromIndex, lowIndex }: DropSpan): Drop {
  const timeS = timeOf(samples, fromIndex);
  return {
    row: rowOf(samples, fromIndex) + 1,
    ...(timeS === undefined ? {} : { timeS }),
    fromN: samples.force[fromIndex] as number,
    toN: samples.force[lowIndex] as number,
  };
}
