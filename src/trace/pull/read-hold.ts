import { named } from "../named.ts";
import type { Hold } from "../reading-parts.ts";
import { rowOf, timeOf } from "../samples/samples.ts";
import type { Signal } from "../samples/signal.ts";
import { applied } from "./cell-fit.ts";
import type { HoldSpan } from "./holds.ts";
import type { PeakFacts } from "./peak-estimate.ts";
import { fitSettling } from "./settling.ts";
import { zeroAt } from "./zero.ts";

/** A hold's forces and how they settled. */
export function readHold(signal: Signal, { from, to }: HoldSpan, facts: PeakFacts): Hold {
  const { force, samples } = signal;
  const net = (at: number) => applied(facts.cell, (force[at] as number) - zeroAt(signal, facts.zero, at));
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

/** A force that stands on the steps of the converter must cross so many of them, or it does not show how it settles. */
const fewestSteps = 3.5;

function settle(signal: Signal, { from, to }: HoldSpan, facts: PeakFacts) {
  const { force, place, intervalS, sampling } = signal;
  if (intervalS === undefined) return undefined;
  // The corner is the highest sample near the beginning; noise may have put it a little off.
  let top = from;
  for (let at = from; at <= to && place(at) - place(from) <= Math.max(0.3, 3 * intervalS); at++)
    if ((force[at] as number) > (force[top] as number)) top = at;
  // The drive stopped between the last sample that is clearly on the way up and the first one after the top.
  const begin = Math.min(to, top + sampling.averaged);
  const latestS = place(Math.min(to, top + 1));
  const earliestS = place(Math.max(0, from - 1)) - (sampling.averaged - 1) * intervalS;
  const stop = lastStill(signal, top, to);
  const count = stop - begin + 1;
  if (count < 1) return undefined;
  // Noise of less than this does not carry the force across the steps: it stands on them.
  const stepsCrossed =
    sampling.noiseN < 0.4 * sampling.stepN
      ? ((force[begin] as number) - (force[stop] as number)) / sampling.stepN
      : undefined;
  if (stepsCrossed !== undefined && stepsCrossed < fewestSteps) return undefined;
  const sinceS = new Float64Array(count);
  const netN = new Float64Array(count);
  for (let at = 0; at < count; at++) {
    sinceS[at] = place(begin + at) - latestS;
    netN[at] = applied(facts.cell, (force[begin + at] as number) - zeroAt(signal, facts.zero, begin + at));
  }
  const { errorN, driftPerS, over } = facts.zero;
  const heldS = place(stop) - place(begin);
  // What is not known of the rest is indicated force; the fit is of applied force.
  const worth = Math.abs(
    facts.cell?.slopeAt((force[begin] as number) - zeroAt(signal, facts.zero, begin)) ?? 1,
  );
  return fitSettling({
    sinceS,
    netN,
    earlierS: latestS - earliestS,
    averaged: sampling.averaged,
    zeroN: worth * errorN,
    driftN:
      worth *
      heldS *
      Math.hypot(0.45 * driftPerS, over > 0 ? (Math.SQRT2 * errorN) / over : unseenDrift(signal, facts)),
    ...named("stepsCrossed", stepsCrossed),
  })?.settling;
}

/** Where only one side of a pull shows a rest, a cell is taken to drift by this part of the net peak along the record. */
const unseenPart = 0.0005;

function unseenDrift({ force, place }: Signal, { netN }: PeakFacts): number {
  return (unseenPart * netN) / Math.max(place(force.length - 1) - place(0), Number.MIN_VALUE);
}

/** The last sample before the next rise: some of them are left out, which the noise may have hidden it in. */
function lastStill({ place, intervalS }: Signal, from: number, to: number): number {
  const margin = Math.min(0.04 * (place(to) - place(from)), 0.6) + (intervalS ?? 0);
  let at = to;
  while (at > from && place(to) - place(at) < margin) at--;
  return at;
}
