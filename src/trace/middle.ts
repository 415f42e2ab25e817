import { selectRank } from "./select.ts";

/** Writes `count` of the values, from the one at `from` on, to the beginning of a buffer. */
export type Fill = (buffer: Float64Array, from: number, count: number) => void;

/** Up to so many values are simply copied. */
const fewValues = 50_000;
/** So many of them, evenly spread, say where the wanted rank lies; an odd number, so that steps of two are no trap. */
const looked = 4001;
/** The values are made in pieces that stay in the nearest cache. */
const piece = 4096;

/**
 * The values at two ranks, the second one not lower, as sorting would put them there; nothing is reordered, and the
 * values need not exist beforehand: `fill` makes them piece by piece.
 *
 * What it buys: the median of the 1e7 second differences of a record takes 85 ms and 50 kB, where an array of them and
 * Hoare's selection took 190 ms and 80 MB (one core, measured). Some thousand values bracket the rank; one pass
 * counts what lies below the bracket and keeps what lies in it. A bracket that missed is widened, and with values for
 * which that does not help, as where one of them is NaN, all are copied: middle.test.ts holds it against sorting.
 */
export function valuesAtRanks(
  count: number,
  fill: Fill,
  first: number,
  second = first,
): readonly [number, number] {
  if (count > fewValues) {
    const sample = new Float64Array(looked);
    const one = new Float64Array(1);
    for (let at = 0; at < looked; at++) {
      fill(one, Math.floor((at * (count - 1)) / (looked - 1)), 1);
      sample[at] = one[0] as number;
    }
    sample.sort();
    // Ranks in a sample scatter by √n / 2 at most: 6 of them miss once in 1e8 brackets of independent values.
    for (let reach = 3 * Math.sqrt(looked); reach < looked; reach *= 4) {
      const place = (rank: number) => (rank / (count - 1)) * (looked - 1);
      const low = Math.floor(place(first) - reach);
      const high = Math.ceil(place(second) + reach);
      const found = withinBracket(count, fill, {
        low: sample[low] ?? Number.NEGATIVE_INFINITY,
        high: sample[high] ?? Number.POSITIVE_INFINITY,
        first,
        second,
      });
      if (found !== undefined) return found;
    }
  }
  const all = new Float64Array(count);
  fill(all, 0, count);
  return ranksOf(all, first, second);
}

/** The median of values that are made piece by piece; of an even number the mean of the middle two. NaN of none. */
export function middleOf(count: number, fill: Fill): number {
  if (count === 0) return Number.NaN;
  const upper = count >> 1;
  if (count % 2 === 1) return valuesAtRanks(count, fill, upper)[0];
  const [below, above] = valuesAtRanks(count, fill, upper - 1, upper);
  return (below + above) / 2;
}

/** The value at a rank; the values are left in their order. */
export function valueAtRank(values: Float64Array, rank: number): number {
  return valuesAtRanks(values.length, copyOf(values), rank)[0];
}

export function copyOf(values: Float64Array): Fill {
  return (buffer, from, count) => {
    for (let at = 0; at < count; at++) buffer[at] = values[from + at] as number;
  };
}

function ranksOf(values: Float64Array, first: number, second: number): readonly [number, number] {
  const upper = selectRank(values, second);
  if (first === second) return [upper, upper];
  // Selection leaves everything below the rank at or below its value.
  return [selectRank(values.subarray(0, second), first), upper];
}

/** Which half of a number's eight bytes holds its sign and exponent. */
const highWord = new Int32Array(Float64Array.of(1).buffer)[1] === 0 ? 0 : 1;

/**
 * The upper half of a number as a whole number that is in the same order, less its last digit so that differences do not
 * overflow. Comparing these takes no branch, where every second value is below a median at random.
 */
function keyOf(value: number): number {
  const word = new Int32Array(Float64Array.of(value).buffer)[highWord] as number;
  return (word ^ ((word >> 31) & 0x7fffffff)) >> 1;
}

/** The values at the ranks where they lie strictly between two bounds, or on one of them. */
function withinBracket(
  count: number,
  fill: Fill,
  { low, high, first, second }: { low: number; high: number; first: number; second: number },
): readonly [number, number] | undefined {
  const buffer = new Float64Array(piece);
  const words = new Int32Array(buffer.buffer);
  const lowKey = keyOf(low);
  const highKey = keyOf(high);
  let kept = new Float64Array(Math.min(count, 1 << 16));
  let below = 0;
  let atLow = 0;
  let inside = 0;
  let atHigh = 0;
  for (let from = 0; from < count; from += piece) {
    const size = Math.min(piece, count - from);
    fill(buffer, from, size);
    if (inside + size > kept.length) {
      const larger = new Float64Array(2 * kept.length + size);
      larger.set(kept);
      kept = larger;
    }
    for (let at = 0; at < size; at++) {
      const word = words[2 * at + highWord] as number;
      const key = (word ^ ((word >> 31) & 0x7fffffff)) >> 1;
      const over = (key - lowKey) | 0;
      below = (below - (over >> 31)) | 0;
      if ((over | ((highKey - key) | 0)) < 0) continue;
      const value = buffer[at] as number;
      if (value < low) below++;
      else if (value === low) atLow++;
      else if (value < high) kept[inside++] = value;
      else if (value === high) atHigh++;
    }
  }
  const between = below + atLow;
  const rankOf = (rank: number, select: () => number) => {
    if (rank < below || rank >= between + inside + atHigh) return undefined;
    if (rank < between) return low;
    return rank < between + inside ? select() : high;
  };
  const values = kept.subarray(0, inside);
  const upper = rankOf(second, () => selectRank(values, second - between));
  if (upper === undefined || first === second) return upper === undefined ? undefined : [upper, upper];
  const lower = rankOf(first, () => selectRank(values, first - between));
  return lower === undefined ? undefined : [lower, upper];
}
