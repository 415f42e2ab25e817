import { columnOf, type Samples, timeOf } from "../samples/samples.ts";
import { slopeOf } from "../samples/slope.ts";
import { firstAbove, lastAtOrBelow } from "../samples/walk.ts";
import { applied, type CellFit } from "./cell-fit.ts";

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
 * The part is chosen by the force as recorded; the slope is that of the force as the cell's certificate corrects it.
 * A stamp that occurs twice counts as two samples and divides nothing. Nothing with fewer than 3 samples, without a
 * clock, or where the clock stands still.
 */
export function fitRate(
  samples: Samples,
  load: { peakIndex: number },
  zero: number,
  riseFrom: number,
  cell?: CellFit,
): LoadingRate | undefined {
  const { force, timeS } = samples;
  if (timeS === undefined) return undefined;
  const rise = lastRise(force, load, zero, riseFrom);
  if (rise === undefined) return undefined;
  const forces = force.subarray(rise.from, rise.to + 1);
  const net = cell === undefined ? forces : forces.map((value) => applied(cell, value - zero));
  const slope = slopeOf(columnOf(samples, timeS, rise), net);
  const loadingRateFromS = timeOf(samples, rise.from);
  const loadingRateToS = timeOf(samples, rise.to);
  if (loadingRateFromS === undefined || loadingRateToS === undefined) return undefined;
  // Samples that all stand on one step of the converter show no rise.
  if (slope === undefined || !(slope > 0) || force[rise.from] === force[rise.to]) return undefined;
  return { loadingRateNPerS: slope, loadingRateFromS, loadingRateToS };
}

/**
 * The samples of the last rise to the peak that rates and stiffness are read from, both ends in: from 50 % to 90 % of the
 * net peak; where it begins above 50 %, from 10 % to 90 % of the rise. Nothing with fewer than 3.
 */
export function lastRise(
  force: Float64Array,
  { peakIndex }: { peakIndex: number },
  zero: number,
  riseFrom: number,
): { readonly from: number; readonly to: number } | undefined {
  const peak = force[peakIndex] as number;
  const half = zero + 0.5 * (peak - zero);
  let from = Math.min(peakIndex, Math.max(riseFrom, lastAtOrBelow(force, half, riseFrom, peakIndex + 1)));
  const begun = from <= riseFrom && (force[from] as number) > half;
  const foot = begun ? (force[from] as number) : zero;
  const [low, high] = begun ? [0.1, 0.9] : [0.5, 0.9];
  const bottom = foot + low * (peak - foot);
  const top = foot + high * (peak - foot);
  from = Math.min(peakIndex, Math.max(riseFrom, lastAtOrBelow(force, bottom, riseFrom, peakIndex) + 1));
  let to = firstAbove(force, top, from + 1, peakIndex + 1) - 1;
  if (to - from < 2) to = peakIndex;
  if (to - from < 2) return undefined;
  return { from, to };
}
