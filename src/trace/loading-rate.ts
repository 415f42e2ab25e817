import { rowOf, type Samples, timeOf } from "./samples.ts";

export type LoadingRate = {
  readonly loadingRateNPerS: number;
  readonly loadingRateFromS: number;
  readonly loadingRateToS: number;
};

/**
 * Rule R-RATE. The slope of a straight line by least squares through the last rise to the peak, in N/s: from 50 % to
 * 90 % of the net peak. Where the force dropped on the way and the last rise begins above 50 %, as after a re-stroke, it
 * is the part between 10 % and 90 % of that rise. The part begins after the last sample below it, so that a hold at its
 * foot is not in it.
 * A stamp that occurs twice counts as two samples and divides nothing. Nothing with fewer than 3 samples, without a
 * clock, or where the clock stands still.
 */
export function fitRate(
  samples: Samples,
  load: { from: number; peakIndex: number },
  zero: number,
  riseFrom: number,
): LoadingRate | undefined {
  if (samples.timeS === undefined) return undefined;
  const { force } = samples;
  const peak = force[load.peakIndex] as number;
  const half = zero + 0.5 * (peak - zero);
  let from = load.peakIndex;
  while (from > riseFrom && (force[from] as number) > half) from--;
  const begun = from <= riseFrom && (force[from] as number) > half;
  const foot = begun ? (force[from] as number) : zero;
  const [low, high] = begun ? [0.1, 0.9] : [0.5, 0.9];
  const bottom = foot + low * (peak - foot);
  const top = foot + high * (peak - foot);
  from = load.peakIndex;
  while (from > riseFrom && (force[from - 1] as number) > bottom) from--;
  let to = from;
  while (to < load.peakIndex && (force[to + 1] as number) <= top) to++;
  if (to - from < 2) to = load.peakIndex;
  if (to - from < 2) return undefined;
  const slope = slopeOf(samples, from, to);
  const loadingRateFromS = timeOf(samples, from);
  const loadingRateToS = timeOf(samples, to);
  if (slope === undefined || loadingRateFromS === undefined || loadingRateToS === undefined) return undefined;
  return { loadingRateNPerS: slope, loadingRateFromS, loadingRateToS };
}

/** Least squares about the means: an axis in epoch seconds would lose its digits otherwise. */
function slopeOf(samples: Samples, from: number, to: number): number | undefined {
  const { force, timeS } = samples;
  if (timeS === undefined) return undefined;
  const count = to - from + 1;
  let meanTime = 0;
  let meanForce = 0;
  for (let index = from; index <= to; index++) {
    meanTime += (timeS[rowOf(samples, index)] as number) / count;
    meanForce += (force[index] as number) / count;
  }
  let across = 0;
  let along = 0;
  for (let index = from; index <= to; index++) {
    const time = (timeS[rowOf(samples, index)] as number) - meanTime;
    across += time * time;
    along += time * ((force[index] as number) - meanForce);
  }
  return across > 0 ? along / across : undefined;
}
