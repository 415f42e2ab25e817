import { highestOf } from "../kernel/derived-values.ts";
import { rankKernelOf } from "../kernel/rank-kernel.ts";

/**
 * The value that would stand at a rank if the values were sorted, found without sorting them all (Hoare's selection).
 * The array is reordered. Linear in its length, also on sorted, equal or adversarial values: after too many rounds
 * the rest is sorted.
 *
 * @example
 * selectRank(Float64Array.of(3, 1, 2), 1) // 2
 */
export function selectRank(values: Float64Array, rank: number): number {
  const rounds = 2 * Math.ceil(Math.log2(values.length + 1)) + 8;
  const kernel = rankKernelOf(values);
  if (kernel === undefined) bringToRank(values, rank, rounds);
  else if (kernel.select(values.byteOffset, values.length, rank, rounds) === 0) values.sort();
  return values[rank] as number;
}

function bringToRank(values: Float64Array, rank: number, mostRounds: number): void {
  let left = 0;
  let right = values.length - 1;
  let rounds = mostRounds;
  while (left < right) {
    if (rounds-- === 0) {
      values.subarray(left, right + 1).sort();
      break;
    }
    const pivot = medianOfThree(values, left, right);
    let low = left;
    let high = right;
    while (low <= high) {
      while ((values[low] as number) < pivot) low++;
      while ((values[high] as number) > pivot) high--;
      if (low > high) break;
      const kept = values[low] as number;
      values[low++] = values[high] as number;
      values[high--] = kept;
    }
    if (rank <= high) right = high;
    else if (rank >= low) left = low;
    else break;
  }
}

/** The median of the values, which are reordered; of an even number the mean of the middle two. NaN of none. */
export function medianInPlace(values: Float64Array): number {
  const count = values.length;
  if (count === 0) return Number.NaN;
  const upper = selectRank(values, count >> 1);
  if (count % 2 === 1) return upper;
  // Selection leaves everything below the rank at or below its value.
  return (highestOf(values.subarray(0, count >> 1)) + upper) / 2;
}

function medianOfThree(values: Float64Array, left: number, right: number): number {
  const a = values[left] as number;
  const b = values[(left + right) >> 1] as number;
  const c = values[right] as number;
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}
