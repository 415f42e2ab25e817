import {
  areMultiples,
  clipTo,
  keepAbove,
  sumOfProducts,
  toBends,
  toDistances,
  toSteps,
} from "../kernel/derived-values.ts";
import { laidOut, roomFor } from "../kernel/rank-kernel.ts";
import { mostValues as mostSamples } from "./middle.ts";
import type { RestRun } from "./rest.ts";
import { medianInPlace, selectRank } from "./select.ts";

/** How finely a record was taken: its noise, the steps of its forces, and how many readings each value averages. */
export type Sampling = {
  /** Standard deviation of the noise of one sample, in newtons. */
  readonly noiseN: number;
  /** The step in which forces stand in the file: the converter's, or the last digit's where that is larger. */
  readonly stepN: number;
  /** Each sample is the mean of this many readings of the cell; 1 where it is not seen to be. */
  readonly averaged: number;
};

/** A normal variable's standard deviation is this many of its median absolute deviations: 1 / Φ⁻¹(3/4). */
const sigmaPerMad = 1.4826;
/** Amplifiers that average more readings than this into one sample are not looked for. */
const mostAveraged = 8;

/**
 * Rule R-SAMPLES. Noise is taken from the rests, where nothing but noise moves the force: from second differences, which
 * are blind to drift. A record with less than 30 samples of rest is taken whole. An amplifier that averages n readings
 * leaves a mark: second differences of such samples are anticorrelated at a distance of n, by one half.
 */
export function describeSampling(force: Float64Array, rests: readonly RestRun[], stepN: number): Sampling {
  const pieces = rests.filter((rest) => rest.to - rest.from >= 10);
  const rested = pieces.reduce((sum, rest) => sum + rest.to - rest.from, 0);
  const whole = [{ from: 0, to: Math.min(force.length, mostSamples) }];
  const quiet = rested >= 30 ? pieces : whole;
  const most = Math.min(mostSamples, Math.max(rested, force.length));
  const bends = roomFor(most + 2);
  let count = 0;
  for (const { from, to } of quiet) {
    const some = Math.min(to - from - 2, most - count);
    if (some <= 0) continue;
    const piece = bends.subarray(count, count + some + 2);
    piece.set(force.subarray(from, from + some + 2));
    count += toBends(piece).length;
  }
  const sizes = toDistances(bends.subarray(0, count));
  const bend = count < 3 ? 0 : (sigmaPerMad * medianInPlace(sizes)) / Math.sqrt(6);
  const averaged = rested >= 60 && bend > 0.6 * stepN ? averagedIn(force, pieces, bend) : 1;
  // The second difference of a mean of n readings holds less of their noise than the mean itself does.
  const held = averaged === 1 ? 1 : Math.sqrt(1.5 * averaged);
  return { noiseN: bend * held, stepN, averaged };
}

/**
 * The distance, of 2 to 8, at which second differences mirror each other by one half, as a mean of so many readings makes
 * them; 1 where they do so at no distance. Second differences do not see the swell of a hand on the line.
 */
function averagedIn(
  force: Float64Array,
  pieces: readonly { from: number; to: number }[],
  bend: number,
): number {
  const products = new Float64Array(mostAveraged + 1);
  const limit = 8 * bend;
  let seen = 0;
  for (const { from, to } of pieces) {
    const looked = Math.min(to - from - mostAveraged - 2, mostSamples - seen);
    if (looked <= 0) continue;
    const bends = clipTo(toBends(laidOut(force.subarray(from, from + looked + mostAveraged + 2))), limit);
    for (let lag = 0; lag <= mostAveraged; lag++)
      products[lag] = (products[lag] as number) + sumOfProducts(bends, looked, lag);
    seen += looked;
  }
  const variance = products[0] as number;
  if (seen < 80 || !(variance > 0)) return 1;
  let best = 2;
  for (let lag = 3; lag <= mostAveraged; lag++)
    if ((products[lag] as number) < (products[best] as number)) best = lag;
  // A mean of n readings leaves exactly one pattern; a hum or a frame that rings leaves others.
  const share = (lag: number) => (products[lag] as number) / variance;
  if (share(best) > -0.3) return 1;
  let plain = Math.abs(share(1) + (best === 2 ? 0.25 : 0.5)) <= 0.15;
  for (let lag = 2; lag < best - 1; lag++) if (Math.abs(share(lag)) > 0.2) plain = false;
  if (plain) return best;
  // Something slow besides lifts the distances between: the mirror image at n still stands alone.
  let alone = best > 2 && share(best) > -0.62 && share(1) < 0;
  for (let lag = 1; lag <= mostAveraged; lag++)
    if (lag !== best && share(lag) < (lag === 1 ? -0.6 : -0.2)) alone = false;
  return alone ? best : 1;
}

/**
 * The smallest step between neighbouring samples that differ, where most other such differences are whole multiples of
 * it; else the smallest difference itself, which is below all noise.
 */
export function stepOf(force: Float64Array): number {
  const stride = Math.max(1, Math.floor(force.length / mostSamples));
  const steps = stride === 1 ? toSteps(laidOut(force)) : everySoManyth(force, stride);
  const moved = keepAbove(toDistances(steps), 1e-9);
  if (moved.length < 8) return 0;
  const candidate = selectRank(moved, Math.floor(moved.length / 10));
  return areMultiples(moved, candidate) ? candidate : selectRank(moved, 0);
}

/** One step of each `stride`. */
function everySoManyth(force: Float64Array, stride: number): Float64Array {
  const steps = roomFor(Math.ceil((force.length - 1) / stride));
  for (let at = 0; at < steps.length; at++)
    steps[at] = (force[at * stride + 1] as number) - (force[at * stride] as number);
  return steps;
}
