import type { Drop } from "./reading.ts";
import { rowOf, type Samples, timeOf } from "./samples.ts";
import { walk } from "./walk.ts";

/** A drop in samples from 0: where the maximum stood, and where the lowest after it. */
export type DropSpan = { readonly fromIndex: number; readonly lowIndex: number };

/**
 * Rule R-DROP. From a running maximum M the force falls below M − threshold; the drop ends when it has recovered by the
 * threshold from the lowest, and M starts again there. Only samples from `from` to before `to` are looked at.
 */
export function findDrops(force: Float64Array, from: number, to: number, threshold: number): DropSpan[] {
  const drops: DropSpan[] = [];
  // Where it first stood at its highest, and at its lowest since, is looked for when it is asked for: from these on.
  let highest = from;
  let highestN = force[from] as number;
  let lowest = -1;
  let lowestN = 0;
  const firstAt = (at: number, value: number) => {
    while (force[at] !== value) at++;
    return at;
  };
  const close = () => {
    drops.push({ fromIndex: firstAt(highest, highestN), lowIndex: firstAt(lowest, lowestN) });
  };
  const changesNothing = (low: number, high: number, at: number) => {
    if (lowest < 0) {
      if (low < Math.max(highestN, high) - threshold) return false;
      if (high > highestN) {
        highest = at;
        highestN = high;
      }
      return true;
    }
    if (high > Math.min(lowestN, low) + threshold) return false;
    if (low < lowestN) {
      lowest = at;
      lowestN = low;
    }
    return true;
  };
  walk(force, { from, to }, changesNothing, (value, at) => {
    if (lowest < 0) {
      if (value > highestN) {
        highest = at;
        highestN = value;
      } else if (value < highestN - threshold) {
        lowest = at;
        lowestN = value;
      }
      return;
    }
    if (value < lowestN) {
      lowest = at;
      lowestN = value;
    }
    if (value <= lowestN + threshold) return;
    close();
    highest = at;
    highestN = value;
    lowest = -1;
  });
  if (lowest >= 0) close();
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
