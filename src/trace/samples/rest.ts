import { type Blocks, blocksOf, sumsOf } from "../kernel/derived-values.ts";
import { isOfMany, laidOut } from "../kernel/rank-kernel.ts";
import { named } from "../named.ts";
import { valuesAtParts } from "./middle.ts";
import { rippleOf } from "./noise.ts";
import { extremesOf, pyramidOf } from "./pyramid.ts";

/** A stretch of samples in which nothing was pulled, and its level in its middle. */
export type RestRun = {
  readonly from: number;
  readonly to: number;
  readonly level: number;
  /** Samples of the whole rest of which this is a part, where the logger paused in it. */
  readonly whole?: number;
  /** How far it leans from sample to sample, and its level at both ends; absent where it is not seen to lean. */
  readonly lean?: { readonly slope: number; readonly first: number; readonly last: number };
};

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
/** A cell that drifts carries its rest along by this part of the span in the length of the record; a ramp is steeper. */
export const driftsBy = 0.2;

/**
 * Rule R-REST. The record is cut into blocks of samples (5 to 200, the record's length over 1,500). A block is at rest
 * where its force stays within a band (1 % of the record's span or 6 times the ripple), leans by less than half of it,
 * and lies in the lowest part of the span. Three such blocks in a row at one level are a rest, where they lean as a whole
 * by no more than half of the band, or no faster than a cell drifts; those that go on along one line are one. Of several,
 * those that lie more than 2.5 % of the span above the lowest are holds.
 *
 * @param gaps samples, in order, before each of which the logger paused: no rest goes on over a pause.
 */
export function findLevels(force: Float64Array, stepN = 0, gaps: readonly number[] = []): Levels {
  const ripple = rippleOf(force);
  const [, top] = extremesOf(force, pyramidOf(force), 0, force.length);
  // The lowest hundredth is left out: a broken specimen's recoil pushes the cell below zero for some samples.
  const [low] = valuesAtParts(force, 0.01);
  const span = top - low;
  const rests = findRests(force, { low, span, ripple, stepN, gaps });
  const floor = rests.length === 0 ? low : weightedMiddle(rests);
  return { floor, top, net: top - floor, ripple, rests };
}

type Run = { from: number; means: number[]; afterGap: boolean };
type Fineness = {
  /** Samples in a block. */
  readonly size: number;
  /** The smallest lean of a run that is looked at. */
  readonly least: number;
  /** The most that means of blocks scatter by noise and steps. */
  readonly scatter: number;
  /** A run that leans by more than this, and from block to block by more than a drift, is a slow ramp seen in pieces. */
  readonly most: number;
  readonly steepest: number;
};

function findRests(
  force: Float64Array,
  {
    low,
    span,
    ripple,
    stepN,
    gaps,
  }: { low: number; span: number; ripple: number; stepN: number; gaps: readonly number[] },
): RestRun[] {
  const band = Math.max(bandPart * span, 6 * ripple, 1.3 * stepN);
  const size = Math.min(200, Math.max(5, Math.floor(force.length / 1500)));
  // Of very many samples only the blocks that may be at rest are added up.
  const told = isOfMany(force.length) ? blocksOf(laidOut(force), size) : undefined;
  const runs: Run[] = [];
  let run: Run = { from: 0, means: [], afterGap: false };
  const close = (afterGap = false) => {
    if (run.means.length >= blocksOfARest) runs.push(run);
    run = { from: 0, means: [], afterGap };
  };
  let gap = 0;
  for (let start = 0; start + size <= force.length; start += size) {
    if (gap < gaps.length && (gaps[gap] as number) < start + size) {
      // What was recorded on both sides of a pause is told apart; a block with a pause in it is left out.
      const within = (gaps[gap] as number) > start;
      close(true);
      while (gap < gaps.length && (gaps[gap] as number) < start + size) gap++;
      if (within) continue;
    }
    const mean = meanAtRest(force, start, { size, band, ceiling: low + lowestPart * span, told });
    const atRest = mean !== undefined;
    if (!atRest || (run.means.length > 0 && Math.abs(mean - (run.means[0] as number)) > band)) close();
    if (!atRest) continue;
    if (run.means.length === 0) run.from = start;
    run.means.push(mean);
  }
  close();
  const fine: Fineness = {
    size,
    least: Math.max(leastLean * span, 0.5 * stepN),
    // Noise wider than a step averages the steps out; a quiet cell stands on one of them.
    scatter: (1.5 * ripple) / Math.sqrt(size) + (ripple < 0.4 * stepN ? 0.3 * stepN : 0),
    steepest: (driftsBy * span * size) / force.length,
    most: band / 2,
  };
  const rests: RestRun[] = [];
  let last: Run | undefined;
  for (const blocks of runs) {
    const rest = describeRun(blocks, fine);
    if (rest === undefined) continue;
    const before = rests.at(-1);
    if (last !== undefined && !blocks.afterGap && before?.to === rest.from && goesOn(before, rest, band)) {
      last = { ...last, means: [...last.means, ...blocks.means] };
      rests[rests.length - 1] = { ...(describeRun(last, fine) ?? rest), ...named("whole", before.whole) };
      continue;
    }
    // On the other side of a pause its level is told anew; it is still one rest.
    const goesOnBefore =
      blocks.afterGap && before !== undefined && rest.from - before.to <= size && goesOn(before, rest, band);
    const whole = goesOnBefore ? rest.to - rest.from + lengthOf(before) : undefined;
    if (goesOnBefore) rests[rests.length - 1] = { ...before, ...named("whole", whole) };
    rests.push({ ...rest, ...named("whole", whole) });
    last = blocks;
  }
  // A set that is held at some per cent of the peak is flat as well; the cell's own drift is smaller.
  const allowed = Math.max(driftPart * span, band);
  const unloaded = withoutLoadedStart(rests, span);
  const reached = notTooHigh(unloaded, allowed, (driftsBy * span) / force.length);
  const below = lowerLine(reached);
  return reached.filter((rest) => rest.level <= below(middleOf(rest)) + allowed);
}

/** Samples of a rest, with what of it lies across pauses of the logger. */
export function lengthOf({ from, to, whole }: RestRun): number {
  return whole ?? to - from;
}

/** A record that begins at rest does not stand this part of the span above its lowest rest, unless it drifts there. */
const loadedPart = 0.04;
/** A cell that drifts shows at least this part of its mean drift in each of its rests. */
const driftShown = 0.3;

/** Without the pauses under load with which a record may begin: a drift would be seen in them as well. */
function withoutLoadedStart(rests: readonly RestRun[], span: number): readonly RestRun[] {
  const lowest = rests.reduce<RestRun | undefined>((a, b) => (a && a.level <= b.level ? a : b), undefined);
  const first = rests.findIndex((rest) => {
    if (lowest === undefined || rest.level - lowest.level <= loadedPart * span) return true;
    const drift = (lowest.level - rest.level) / (middleOf(lowest) - middleOf(rest));
    return (rest.lean?.slope ?? 0) / drift > driftShown;
  });
  return first > 0 ? rests.slice(first) : rests;
}

/** The rests to which a drift may lead from every other: a record that starts under load may show none before it. */
function notTooHigh(rests: readonly RestRun[], allowed: number, steepest: number): RestRun[] {
  const limits = new Float64Array(rests.length).fill(Number.POSITIVE_INFINITY);
  const sweep = (step: 1 | -1) => {
    let limit = Number.POSITIVE_INFINITY;
    let last = 0;
    for (let at = step === 1 ? 0 : rests.length - 1; at >= 0 && at < rests.length; at += step) {
      const rest = rests[at] as RestRun;
      limit = Math.min(limit + steepest * Math.abs(middleOf(rest) - last), rest.level);
      last = middleOf(rest);
      limits[at] = Math.min(limits[at] as number, limit);
    }
  };
  sweep(1);
  sweep(-1);
  return rests.filter(({ level }, at) => level <= (limits[at] as number) + allowed);
}

/** A lean smaller than this part of the span is not looked at. */
const leastLean = 2e-4;
/** The level at the end of a rest that leans is told by this part of it. */
const endPart = 0.3;

/**
 * Level and lean of a run of blocks, from the longest part of it that runs straight: the foot of a ramp at its end, and a
 * hand on the line, are left out. Where none does the level is that of the half that lies closest together. Nothing
 * where only a ramp is straight in it.
 */
function describeRun({ from, means }: Run, fine: Fineness): RestRun | undefined {
  const count = means.length;
  const to = from + count * fine.size;
  const line = longestLine(means, fine);
  if (line === "ramp") return undefined;
  if (line === undefined) return { from, to, level: densestHalf(means) };
  // The standard error of a slope over evenly spaced blocks, times their number: σ √(12 / n).
  const seen = Math.max(4 * line.scatter * Math.sqrt(12 / line.count), fine.least);
  if (Math.abs(line.slope) * line.count <= seen) return { from, to, level: line.level };
  const end = Math.max(blocksOfARest, Math.round(endPart * count));
  const at = (part: readonly number[], offset: number, place: number) => {
    const whole = levelAt(line, place);
    const near = longestLine(part, fine);
    const value = near === undefined || near === "ramp" ? whole : levelAt(near, place - offset);
    // A drift bends by less than this; what departs further is no rest any more.
    return Math.abs(value - whole) <= 0.3 * Math.abs(line.slope) * count ? value : whole;
  };
  return {
    from,
    to,
    level: levelAt(line, (count - 1) / 2),
    lean: {
      slope: line.slope / fine.size,
      first: at(means.slice(0, end), 0, -0.5),
      last: at(means.slice(count - end), count - end, count - 0.5),
    },
  };
}

type Line = { slope: number; middle: number; level: number; count: number; scatter: number };

function levelAt({ level, slope, middle }: Line, place: number): number {
  return level + slope * (place - middle);
}

/** Parts of a run in which a straight line is looked for; the shortest that is found straight is a fifth of it. */
const partsOfARun = [1, 0.8, 0.65, 0.5, 0.4, 0.3, 0.2] as const;
/** A rest that goes over into a ramp is at least this part of the run. */
const leastBesideARamp = 0.4;

/** The longest part of a run of values that is a straight line within their scatter; of several the flattest. */
function longestLine(
  values: readonly number[],
  { least, scatter: widest, most, steepest }: Fineness,
): Line | "ramp" | undefined {
  const scatter = Math.min(widest, scatterOf(values));
  let ramp = false;
  for (const part of partsOfARun) {
    const count = Math.round(part * values.length);
    if (count < blocksOfARest || (ramp && part < leastBesideARamp)) break;
    const stride = Math.max(1, Math.floor(count / 8));
    let flattest: Line | undefined;
    for (let from = 0; from + count <= values.length; from += stride) {
      const line = lineThrough(values, from, count);
      if (line.scatter > 1.3 * scatter + least / 2) continue;
      const slope = Math.abs(line.slope);
      const plainly = slope - 4 * scatter * Math.sqrt(12 / count ** 3) > steepest;
      if (slope > steepest && (plainly || slope * values.length > most)) {
        ramp = true;
        continue;
      }
      if (flattest === undefined || Math.abs(line.slope) < Math.abs(flattest.slope)) flattest = line;
    }
    if (flattest !== undefined) return flattest;
  }
  return ramp ? "ramp" : undefined;
}

/** By how much values scatter about whatever slow course they run: from second differences. */
function scatterOf(values: readonly number[]): number {
  return values.length < 8 ? Number.POSITIVE_INFINITY : rippleOf(Float64Array.from(values));
}

function lineThrough(values: readonly number[], from: number, count: number): Line {
  let level = 0;
  for (let at = 0; at < count; at++) level += (values[from + at] as number) / count;
  const centre = (count - 1) / 2;
  let turned = 0;
  for (let at = 0; at < count; at++) turned += (at - centre) * (values[from + at] as number);
  const slope = (12 * turned) / (count * (count * count - 1));
  let squares = 0;
  for (let at = 0; at < count; at++)
    squares += ((values[from + at] as number) - level - slope * (at - centre)) ** 2;
  return { slope, middle: from + centre, level, count, scatter: Math.sqrt(squares / Math.max(1, count - 2)) };
}

/** Whether a rest lies on the line of the one before it, so that the two are one that drifts. */
function goesOn(before: RestRun, rest: RestRun, band: number): boolean {
  return Math.abs((rest.lean?.first ?? rest.level) - (before.lean?.last ?? before.level)) <= band / 2;
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

/** The mean of a block at rest; nothing where it is none. Of most blocks their first value says so, or their extremes. */
function meanAtRest(
  force: Float64Array,
  start: number,
  { size, band, ceiling, told }: { size: number; band: number; ceiling: number; told: Blocks | undefined },
): number | undefined {
  // No further from it than the band lies nothing below the ceiling.
  if ((force[start] as number) > ceiling + 2 * band) return undefined;
  const block = start / size;
  const [lowest, highest] =
    told === undefined
      ? extremesOf(force, pyramidOf(force), start, start + size)
      : [told.lows[block] as number, told.highs[block] as number];
  if (highest - lowest > band || lowest > ceiling) return undefined;
  const [sum, turned] =
    told === undefined
      ? sumsOf(force, start, size)
      : [told.sums[block] as number, told.turned[block] as number];
  // Slope by least squares over 0, 1, ..., size − 1, times the block's length.
  const lean = (turned / ((size * (size * size - 1)) / 12)) * (size - 1);
  return Math.abs(lean) <= band / 2 && sum / size <= ceiling ? sum / size : undefined;
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
