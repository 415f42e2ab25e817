import type { PeakFacts } from "./peak-estimate.ts";
import { rowOf } from "./samples.ts";
import type { Signal } from "./signal.ts";
import { zeroAt } from "./zero.ts";

/**
 * Rule R-WORK: where the travel of the ram was logged, the stiffness (slope of force over travel by least squares, from
 * 50 % to 90 % of the net peak on the last rise) and the work up to the peak (trapezia, what was given back subtracted).
 */
export function workToPeak(
  signal: Signal,
  {
    displacementM,
    from,
    peakIndex,
    netN,
    zero,
  }: PeakFacts & {
    readonly displacementM?: Float64Array;
    readonly from: number;
  },
): { stiffnessNPerM?: number; energyToPeakJ?: number } {
  if (displacementM === undefined || peakIndex - from < 3) return {};
  const { force, samples, zeroN } = signal;
  const travel = (at: number) => displacementM[rowOf(samples, at)] as number;
  let work = 0;
  for (let at = from + 1; at <= peakIndex; at++) {
    const mean = ((force[at - 1] as number) + (force[at] as number)) / 2 - zeroAt(signal, zero, at);
    work += mean * (travel(at) - travel(at - 1));
  }
  let first = peakIndex;
  while (first > from && (force[first - 1] as number) - zeroN > 0.5 * netN) first--;
  let last = first;
  while (last < peakIndex && (force[last + 1] as number) - zeroN <= 0.9 * netN) last++;
  const stiffness = last - first >= 3 ? slopeOver(force, travel, first, last) : undefined;
  return {
    ...(stiffness === undefined || !(stiffness > 0) ? {} : { stiffnessNPerM: stiffness }),
    ...(work > 0 ? { energyToPeakJ: work } : {}),
  };
}

function slopeOver(
  force: Float64Array,
  travel: (at: number) => number,
  first: number,
  last: number,
): number | undefined {
  const count = last - first + 1;
  let meanX = 0;
  let meanY = 0;
  for (let at = first; at <= last; at++) {
    meanX += travel(at) / count;
    meanY += (force[at] as number) / count;
  }
  let across = 0;
  let along = 0;
  for (let at = first; at <= last; at++) {
    across += (travel(at) - meanX) ** 2;
    along += (travel(at) - meanX) * ((force[at] as number) - meanY);
  }
  return across > 0 ? along / across : undefined;
}
