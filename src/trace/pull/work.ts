import { columnOf, rowOf } from "../samples/samples.ts";
import type { Signal } from "../samples/signal.ts";
import { slopeOf } from "../samples/slope.ts";
import { applied } from "./cell-fit.ts";
import { lastRise } from "./loading-rate.ts";
import type { PeakFacts } from "./peak-estimate.ts";
import { zeroAt } from "./zero.ts";

/**
 * Rule R-WORK: where the travel of the ram was logged, the stiffness (slope of force over travel by least squares, over
 * the samples of R-RATE) and the work up to the peak (trapezia, what was given back subtracted).
 */
export function workToPeak(
  signal: Signal,
  {
    displacementM,
    from,
    peakIndex,
    riseFrom,
    zero,
    cell,
  }: PeakFacts & {
    readonly displacementM?: Float64Array;
    readonly from: number;
    /** Where the last rise to the peak begins: after the last drop before it. */
    readonly riseFrom: number;
  },
): { stiffnessNPerM?: number; energyToPeakJ?: number } {
  if (displacementM === undefined || peakIndex - from < 3) return {};
  const { force, samples, zeroN } = signal;
  const travel = (at: number) => displacementM[rowOf(samples, at)] as number;
  let work = 0;
  for (let at = from + 1; at <= peakIndex; at++) {
    const mean = ((force[at - 1] as number) + (force[at] as number)) / 2 - zeroAt(signal, zero, at);
    work += applied(cell, mean) * (travel(at) - travel(at - 1));
  }
  const rise = lastRise(force, { peakIndex }, zeroN, riseFrom);
  const stiffness =
    rise &&
    slopeOf(
      columnOf(samples, displacementM, rise),
      force.subarray(rise.from, rise.to + 1).map((value) => applied(cell, value - zeroN)),
    );
  return {
    ...(stiffness === undefined || !(stiffness > 0) ? {} : { stiffnessNPerM: stiffness }),
    ...(work > 0 ? { energyToPeakJ: work } : {}),
  };
}
