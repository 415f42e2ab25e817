import type { Drop } from "../reading.ts";
import { rowOf, type Samples, timeOf } from "../samples/samples.ts";
import { type Neighbours, walk } from "../samples/walk.ts";

/** A drop in samples from 0: where the maximum stood, and where the lowest after it. */
export type DropSpan = { readonly fromIndex: number; readonly lowIndex: number };

/**
 * Rule R-DROP. From a running maximum M the force falls below M − threshold; the drop ends when it has recovered by the
 * threshold from the lowest, and M starts again there. Only samples from `from` to before `to` are looked at.
 */
export function findDrops(force: Float64Array, from: number, to: number, threshold: number): DropSpan[] {
  const drops: DropSpan[] = [];
  // The highest since the last drop and, in a drop, the lowest since then, with places from which on each is found first.
  const highest = { from, valueN: force[from] as number };
  const lowest = { from: -1, valueN: 0 };
  const firstOf = ({ from: at, valueN }: { from: number; valueN: number }) => {
    while (force[at] !== valueN) at++;
    return at;
  };
  const set = (extreme: { from: number; valueN: number }, at: number, valueN: number) => {
    extreme.from = at;
    extreme.valueN = valueN;
  };
  const changeNothing = ({ low, high, from: at }: Neighbours) => {
    if (lowest.from < 0) {
      if (low < Math.max(highest.valueN, high) - threshold) return false;
      if (high > highest.valueN) set(highest, at, high);
      return true;
    }
    if (high > Math.min(lowest.valueN, low) + threshold) return false;
    if (low < lowest.valueN) set(lowest, at, low);
    return true;
  };
  walk(force, { from, to }, changeNothing, (at) => {
    const value = force[at] as number;
    if (lowest.from < 0) {
      if (value > highest.valueN) set(highest, at, value);
      else if (value < highest.valueN - threshold) set(lowest, at, value);
      return;
    }
    if (value < lowest.valueN) set(lowest, at, value);
    if (value <= lowest.valueN + threshold) return;
    drops.push({ fromIndex: firstOf(highest), lowIndex: firstOf(lowest) });
    set(highest, at, value);
    lowest.from = -1;
  });
  if (lowest.from >= 0) drops.push({ fromIndex: firstOf(highest), lowIndex: firstOf(lowest) });
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
