import { rippleOf } from "./noise.ts";
import { selectRank } from "./select.ts";

/** A stretch of samples in which nothing was pulled. */
export type RestRun = { readonly from: number; readonly to: number; readonly level: number };

/** Where a record's rest lies, and how high it reaches above it. */
export type Levels = {
  /** The level that counts as no load: the middle of the rests, or the lowest the record shows. */
  readonly floor: number;
  readonly top: number;
  /** top − floor. */
  readonly net: number;
  readonly ripple: number;
  readonly rests: readonly RestRun[];
};

/** A rest is this much of the record's span wide at most, or as wide as its noise. */
const bandPart = 0.01;
/** A rest lies in the lowest tenth of the span. */
const lowestPart = 0.14;
/** Rests of one record lie within this part of the span above the line that joins the lowest of them. */
const driftPart = 0.025;
const blocksOfARest = 3;

/**
 * Rule R-REST. The record is cut into blocks of samples (5 to 200, the record's length over 500). A block is at rest
 * where its force stays within a band (1 % of the record's span or 6 times the ripple), leans by less than half of it,
 * and lies in the lowest tenth of the span. Three such blocks in a row at one level are a rest; its level is the mean
 * of the half of its blocks that lie closest together. A slow ramp leans, and the tail of a decline leans: neither is a
 * rest. Of several, those that lie more than 5 % of the span above the lowest are holds.
 */
export function findLevels(force: Float64Array, stepN = 0): Levels {
  const ripple = rippleOf(force);
  const count = force.length;
  let top = Number.NEGATIVE_INFINITY;
  for (let index = 0; index < count; index++) top = Math.max(top, force[index] as number);
  // The lowest hundredth is left out: a broken specimen's recoil pushes the cell below zero for some samples.
  const low = selectRank(force.slice(), Math.floor((count - 1) / 100));
  const span = top - low;
  const rests = findRests(force, low, span, Math.max(bandPart * span, 6 * ripple, 1.3 * stepN));
  const floor = rests.length === 0 ? low : weightedMiddle(rests);
  return { floor, top, net: top - floor, ripple, rests };
}

function findRests(force: Float64Array, low: number, span: number, band: number): RestRun[] {
  const size = Math.min(200, Math.max(5, Math.floor(force.length / 1500)));
  const rests: RestRun[] = [];
  let means: number[] = [];
  let from = 0;
  const close = () => {
    if (means.length >= blocksOfARest)
      rests.push({ from, to: from + means.length * size, level: densestHalf(means) });
    means = [];
  };
  for (let start = 0; start + size <= force.length; start += size) {
    const { lowest, highest, mean, lean } = describeBlock(force, start, size);
    const atRest = highest - lowest <= band && Math.abs(lean) <= band / 2 && mean <= low + lowestPart * span;
    if (!atRest || (means.length > 0 && Math.abs(mean - (means[0] as number)) > band)) close();
    if (!atRest) continue;
    if (means.length === 0) from = start;
    means.push(mean);
  }
  close();
  // A run that leans as a whole is a slow ramp seen in pieces.
  const flat = rests.filter((rest) => Math.abs(leanOfRun(force, rest)) <= band / 2);
  // A set that is held at some per cent of the peak is flat as well; the cell's own drift is smaller.
  const below = lowerLine(flat);
  return flat.filter((rest) => rest.level <= below(middleOf(rest)) + Math.max(driftPart * span, band));
}

function middleOf({ from, to }: { from: number; to: number }): number {
  return (from + to) / 2;
}

/**
 * The line under all levels: their lower convex hull along the record. A cell that drifts carries its rests with it, and
 * a hold lies above those on both sides.
 */
function lowerLine(rests: readonly RestRun[]): (at: number) => number {
  const hull: RestRun[] = [];
  for (const rest of rests) {
    for (;;) {
      const [before, last] = [hull.at(-2), hull.at(-1)];
      if (before === undefined || last === undefined) break;
      const run = middleOf(rest) - middleOf(before);
      const onLine = before.level + ((rest.level - before.level) * (middleOf(last) - middleOf(before))) / run;
      if (last.level < onLine) break;
      hull.pop();
    }
    hull.push(rest);
  }
  return between(hull);
}

/** Straight lines between the levels of rests, level before the first and after the last. */
function between(rests: readonly RestRun[]): (at: number) => number {
  return (at) => {
    let low = 0;
    let high = rests.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (middleOf(rests[middle] as RestRun) <= at) low = middle;
      else high = middle;
    }
    const [left, right] = [rests[low], rests[high]];
    if (left === undefined || right === undefined) return 0;
    const run = middleOf(right) - middleOf(left);
    const part = run > 0 ? Math.min(1, Math.max(0, (at - middleOf(left)) / run)) : 0;
    return left.level + part * (right.level - left.level);
  };
}

/** Rests that differ by more than this part of the net force are followed; less is nothing to a load. */
const followedPart = 0.02;

/**
 * The force with the drift of its rests taken off, for finding loads in: the same array where the rests lie together.
 * Nothing else is read from it.
 */
export function levelled(force: Float64Array, { rests, net, floor }: Levels): Float64Array {
  const levels = rests.map((rest) => rest.level);
  if (rests.length < 2 || Math.max(...levels) - Math.min(...levels) <= followedPart * net) return force;
  const line = between(rests);
  return force.map((value, at) => value - line(at) + floor);
}

/**
 * The mean of those neighbouring values, half of all, that lie closest together. The start of a ramp or the recoil after
 * a break may be in a run; while it is less than half of it, it does not move the level.
 */
function densestHalf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const half = Math.floor(sorted.length / 2) + 1;
  let best = 0;
  let narrowest = Number.POSITIVE_INFINITY;
  for (let at = 0; at + half <= sorted.length; at++) {
    const width = (sorted[at + half - 1] as number) - (sorted[at] as number);
    if (width >= narrowest) continue;
    narrowest = width;
    best = at;
  }
  return sorted.slice(best, best + half).reduce((sum, value) => sum + value, 0) / half;
}

function describeBlock(force: Float64Array, start: number, size: number) {
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  let sum = 0;
  let turned = 0;
  const middle = (size - 1) / 2;
  for (let index = 0; index < size; index++) {
    const value = force[start + index] as number;
    lowest = Math.min(lowest, value);
    highest = Math.max(highest, value);
    sum += value;
    turned += (index - middle) * value;
  }
  // Slope by least squares over 0, 1, ..., size − 1, times the block's length.
  const lean = (turned / ((size * (size * size - 1)) / 12)) * (size - 1);
  return { lowest, highest, mean: sum / size, lean };
}

/** How far the last third of a run lies above its first third. */
function leanOfRun(force: Float64Array, { from, to }: RestRun): number {
  const third = Math.floor((to - from) / 3);
  const mean = (start: number) => {
    let sum = 0;
    for (let index = start; index < start + third; index++) sum += force[index] as number;
    return sum / third;
  };
  return mean(to - third) - mean(from);
}

/** The level below which half of all rest samples lie. */
function weightedMiddle(rests: readonly RestRun[]): number {
  const sorted = [...rests].sort((a, b) => a.level - b.level);
  const half = sorted.reduce((sum, rest) => sum + rest.to - rest.from, 0) / 2;
  let seen = 0;
  for (const rest of sorted) {
    seen += rest.to - rest.from;
    if (seen >= half) return rest.level;
  }
  return sorted.at(-1)?.level ?? 0;
}
