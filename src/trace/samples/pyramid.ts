import { roomBehind } from "../kernel/column-memory.ts";
import { extremesOfStretches, stretchSize as step } from "../kernel/extremes.ts";

/** The lowest and highest of each 16, 256, 4096 and so on values of a column, for its extremes between any two rows. */
export type Pyramid = {
  /** Level 0 is of 16 values each. A stretch without a value has +∞ and −∞. */
  readonly lows: readonly Float64Array[];
  readonly highs: readonly Float64Array[];
};

const shift = 4;

/**
 * Builds the pyramid of a column, NaN where a value is missing.
 *
 * What it buys: extremes of any stretch from a few hundred values in place of all, for the reading as for the picture
 * (docs/performance.md). It takes 2/15 of the room of the column.
 *
 * @example
 * buildPyramid(Float64Array.of(3, 1, 2)).highs[0] // [3]
 */
export function buildPyramid(values: Float64Array): Pyramid {
  const lows: Float64Array[] = [];
  const highs: Float64Array[] = [];
  const roomFor = roomBehind(values);
  let below = values;
  let above = values;
  do {
    const count = Math.ceil(below.length / step);
    const low = roomFor(count);
    const high = roomFor(count);
    extremesOfStretches(below, above, low, high);
    lows.push(low);
    highs.push(high);
    below = low;
    above = high;
  } while (below.length > step);
  return { lows, highs };
}

/** Pyramids live as long as the columns they were built of; a column stays as it is once it has one. */
const built = new WeakMap<Float64Array, Pyramid>();

/** The pyramid of a column, built when it is first asked for. */
export function pyramidOf(values: Float64Array): Pyramid {
  const known = built.get(values);
  if (known !== undefined) return known;
  const pyramid = buildPyramid(values);
  built.set(values, pyramid);
  return pyramid;
}

/** The lowest and the highest of rows `from` to before `to`; +∞ and −∞ where no row has a value. */
export function extremesOf(
  values: Float64Array,
  { lows, highs }: Pyramid,
  from: number,
  to: number,
): readonly [number, number] {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  let low = values;
  let high = values;
  let first = from;
  let behind = to;
  for (let level = 0; first < behind; level++) {
    const nextLow = lows[level];
    const nextHigh = highs[level];
    const climbs = nextLow !== undefined && nextHigh !== undefined;
    // What of this level lies outside whole stretches of the next: the ends, or all of it at the top.
    const wholeFrom = climbs ? (first + step - 1) >> shift : 0;
    const wholeTo = climbs ? behind >> shift : 0;
    const isWhole = wholeFrom < wholeTo;
    const leftTo = isWhole ? wholeFrom << shift : behind;
    for (let at = first; at < leftTo; at++) {
      if ((low[at] as number) < least) least = low[at] as number;
      if ((high[at] as number) > most) most = high[at] as number;
    }
    if (!isWhole || !climbs) break;
    for (let at = wholeTo << shift; at < behind; at++) {
      if ((low[at] as number) < least) least = low[at] as number;
      if ((high[at] as number) > most) most = high[at] as number;
    }
    low = nextLow;
    high = nextHigh;
    first = wholeFrom;
    behind = wholeTo;
  }
  return [least, most];
}
