import type { HoldSpan } from "./holds.ts";
import { named } from "./named.ts";
import type { PeakFacts } from "./peak-estimate.ts";
import type { Hold } from "./reading-parts.ts";
import { rowOf, timeOf } from "./samples.ts";
import { fitSettling } from "./settling.ts";
import type { Signal } from "./signal.ts";
import { zeroAt } from "./zero.ts";

/** A hold's forces and how they settled. */
export function readHold(signal: Signal, { from, to }: HoldSpan, facts: PeakFacts): Hold {
  const { force, samples } = signal;
  const net = (at: number) => (force[at] as number) - zeroAt(signal, facts.zero, at);
  const settling = settle(signal, { from, to }, facts);
  return {
    fromRow: rowOf(samples, from) + 1,
    toRow: rowOf(samples, to) + 1,
    ...named("fromS", timeOf(samples, from)),
    ...named("toS", timeOf(samples, to)),
    startN: net(from),
    endN: net(to),
    ...named("settling", settling),
  };
}

function settle(signal: Signal, { from, to }: HoldSpan, facts: PeakFacts) {
  const { force, place, intervalS, sampling } = signal;
  if (intervalS === undefined) return undefined;
  const net = (at: number) => (force[at] as number) - zeroAt(signal, facts.zero, at);
  // The corner is the highest sample near the beginning; noise may have put it a little off.
  let top = from;
  for (let at = from; at <= to && place(at) - place(from) <= Math.max(0.3, 3 * intervalS); at++)
    if ((force[at] as number) > (force[top] as number)) top = at;
  const stop = lastStill(signal, top, to);
  let beginS = place(top);
  let fitted = fitFrom(beginS, 0.3 * intervalS);
  // Where the line of the last rise meets the curve of settling, the drive stopped.
  const line = rise(signal, top);
  for (let round = 0; round < 3 && line !== undefined && fitted !== undefined; round++) {
    const metS = place(top) + (fitted.startN - line.atTop) / line.slope;
    beginS = Math.min(place(top) + intervalS, Math.max(place(top) - 2.5 * intervalS, metS));
    fitted = fitFrom(beginS, 0.15 * intervalS);
  }
  return fitted?.settling;

  function fitFrom(startS: number, unsureS: number) {
    const first = startS + Math.max(0.5, sampling.averaged - 1) * (intervalS as number) * 0.999;
    let begin = top;
    while (begin < stop && place(begin) < first) begin++;
    const count = stop - begin + 1;
    if (count < 12) return undefined;
    const sinceS = new Float64Array(count);
    const netN = new Float64Array(count);
    for (let at = 0; at < count; at++) {
      sinceS[at] = place(begin + at) - startS;
      netN[at] = net(begin + at);
    }
    const early = (netN[0] as number) - (netN[Math.min(count - 1, 3)] as number);
    const earlyS = Math.max(
      (sinceS[Math.min(count - 1, 3)] as number) - (sinceS[0] as number),
      intervalS as number,
    );
    const startN = Math.hypot(facts.zero.errorN, (Math.max(0, early) / earlyS) * unsureS);
    const heldS = sinceS[count - 1] as number;
    const settling = fitSettling({
      sinceS,
      netN,
      averaged: sampling.averaged,
      startN,
      stuckN: sampling.noiseN < 0.4 * sampling.stepN ? sampling.stepN / Math.sqrt(12) : 0,
      driftN: facts.zero.driftPerS * 0.45 * heldS,
    });
    return settling === undefined
      ? undefined
      : { settling: settling.settling, startN: settling.startN + zeroAt(signal, facts.zero, top) };
  }
}

/** The last sample before the next rise: some of them are left out, which the noise may have hidden it in. */
function lastStill({ place, intervalS }: Signal, from: number, to: number): number {
  const margin = Math.min(0.02 * (place(to) - place(from)), 0.15) + (intervalS ?? 0);
  let at = to;
  while (at > from && place(to) - place(at) < margin) at--;
  return at;
}

/** A line through the last samples before the corner. */
function rise(
  { force, place, sampling, intervalS }: Signal,
  top: number,
): { slope: number; atTop: number } | undefined {
  const count = Math.max(3, Math.min(12, Math.round(0.06 / (intervalS ?? 1))));
  const last = top - sampling.averaged;
  const first = last - count + 1;
  if (first < 0) return undefined;
  let meanS = 0;
  let meanN = 0;
  for (let at = first; at <= last; at++) {
    meanS += place(at) / count;
    meanN += (force[at] as number) / count;
  }
  let across = 0;
  let along = 0;
  for (let at = first; at <= last; at++) {
    across += (place(at) - meanS) ** 2;
    along += (place(at) - meanS) * ((force[at] as number) - meanN);
  }
  const slope = along / across;
  const rose = slope * (place(last) - place(first));
  if (!(rose > 6 * Math.hypot(sampling.noiseN, sampling.stepN / 3))) return undefined;
  return { slope, atTop: meanN + slope * (place(top) - meanS) };
}
