import { extremesOf, type Pyramid, pyramidOf } from "./pyramid.ts";

/** Some neighbours in a column: their lowest, their highest, and where they begin. */
export type Neighbours = { readonly low: number; readonly high: number; readonly from: number };

/**
 * Goes through a part of a column from front to back. Wherever 16, 256, 4096 … values lie together, `passes` is asked
 * first whether they may be passed over; the others are shown to `look` one by one, by their places, until it says true.
 * Returns where that was, or `to`. What `passes` is given is the same object each time: numbers with decimals that are
 * handed to a function, or kept by one, would each be put on the heap.
 *
 * What it buys: most rules ask for the few places at which a force does something; of the 1e7 samples of a long recording
 * each looks at some hundred thousand. Finding loads, falls, spikes and strokes went from 190 ms to 15 (measured).
 */
export function walk(
  values: Float64Array,
  { from, to }: { readonly from: number; readonly to: number },
  passes: (neighbours: Neighbours) => boolean,
  look: (at: number) => unknown,
): number {
  const { lows, highs } = pyramidOf(values);
  const neighbours = { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY, from };
  let at = from;
  while (at < to) {
    let level = widest(at, to, lows.length);
    for (; level >= 0; level--) {
      const stretch = at >> (4 * (level + 1));
      neighbours.low = (lows[level] as Float64Array)[stretch] as number;
      neighbours.high = (highs[level] as Float64Array)[stretch] as number;
      neighbours.from = at;
      if (passes(neighbours)) break;
    }
    if (level >= 0) {
      at += 1 << (4 * (level + 1));
      continue;
    }
    for (const until = Math.min(to, (at | 15) + 1); at < until; at++) if (look(at) === true) return at;
  }
  return to;
}

/** The highest level of which a stretch begins at a place and ends in time; −1 where none does. */
function widest(at: number, to: number, levels: number): number {
  let level = -1;
  for (let size = 16; (at & (size - 1)) === 0 && at + size <= to && level + 1 < levels; size *= 16) level++;
  return level;
}

/**
 * The first value below `least` or above `most`, from a place to before another, by its index; the latter where there is
 * none. For a band that moves with each value found: `walk` asks two functions, which takes three times as long (measured).
 */
export function firstOutside(
  values: Float64Array,
  { lows, highs }: Pyramid,
  least: number,
  most: number,
  from: number,
  to: number,
): number {
  let at = from;
  while (at < to) {
    // Where the stretch that a value stands in lies within, so does what is left of it; wider ones are looked at from
    // their first sixteenth.
    let behind = at;
    for (let level = 0, stretch = at >> 4; level < lows.length; level++, stretch >>= 4) {
      const [low, high] = [lows[level] as Float64Array, highs[level] as Float64Array];
      if ((low[stretch] as number) < least || (high[stretch] as number) > most) break;
      behind = (stretch + 1) << (4 * (level + 1));
      if ((stretch & 15) !== 0) break;
    }
    if (behind > at) {
      at = behind;
      continue;
    }
    for (const until = Math.min(to, (at | 15) + 1); at < until; at++)
      if ((values[at] as number) < least || (values[at] as number) > most) return at;
  }
  return to;
}

/** The first value above a level, from a place to before another, by its index; the latter where there is none. */
export function firstAbove(values: Float64Array, level: number, from: number, to: number): number {
  const lieBelow = ({ high }: Neighbours) => high <= level;
  return walk(values, { from, to }, lieBelow, (at) => (values[at] as number) > level);
}

/** The first value at or below a level. */
export function firstAtOrBelow(values: Float64Array, level: number, from: number, to: number): number {
  const lieAbove = ({ low }: Neighbours) => low > level;
  return walk(values, { from, to }, lieAbove, (at) => (values[at] as number) <= level);
}

/** The last value at or below a level, or the place before `from` where there is none. */
export function lastAtOrBelow(values: Float64Array, level: number, from: number, to: number): number {
  const { lows } = pyramidOf(values);
  let behind = to;
  while (behind > from) {
    // The widest stretch that ends here, begins in time and lies above: its last sixteenth lies above as well.
    let size = 1;
    for (const low of lows) {
      const wider = 16 * size;
      if ((behind & (wider - 1)) !== 0 || behind - wider < from) break;
      if (!((low[behind / wider - 1] as number) > level)) break;
      size = wider;
    }
    if (size > 1) {
      behind -= size;
      continue;
    }
    for (const until = Math.max(from, (behind - 1) & ~15); behind > until; behind--)
      if ((values[behind - 1] as number) <= level) return behind - 1;
  }
  return from - 1;
}

/** Where the highest value of a stretch with values stands first. */
export function highestIn(values: Float64Array, from: number, to: number): number {
  const [, highest] = extremesOf(values, pyramidOf(values), from, to);
  const lieBelow = ({ high }: Neighbours) => high < highest;
  return walk(values, { from, to }, lieBelow, (at) => values[at] === highest);
}
