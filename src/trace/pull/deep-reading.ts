import { named } from "../named.ts";
import type { Bedding, DeepReading, Slip } from "../reading-parts.ts";
import { rowOf, timeOf } from "../samples/samples.ts";
import { type Signal, sampleAt } from "../samples/signal.ts";
import { stairsAfter } from "../samples/stairs.ts";
import { applied, type CellFit } from "./cell-fit.ts";
import { type Fall, fallsForSlips, findFalls, isSlip } from "./falls.ts";
import { findHolds, type HoldSpan } from "./holds.ts";
import { type EndFacts, weighOutcome } from "./outcome.ts";
import { estimatePeak, type PeakFacts } from "./peak-estimate.ts";
import { layOutPhases } from "./phases.ts";
import { readHold } from "./read-hold.ts";
import { countStrokes } from "./strokes.ts";
import { workToPeak } from "./work.ts";

/** What is known of a pull before it is looked at more closely. */
export type PullFacts = PeakFacts & {
  readonly from: number;
  /** The first sample at rest again, or the record's end. */
  readonly to: number;
  /** The pull before ended here, and the next one begins here. */
  readonly after: number;
  readonly before: number;
  readonly peakIndex: number;
  readonly netN: number;
  readonly cutOff: boolean;
  readonly displacementM?: Float64Array;
  /** Where the last rise to the peak begins. */
  readonly riseFrom: number;
  readonly onEnd?: ((facts: EndFacts) => void) | undefined;
  /** Where the rests on both sides begin and end. */
  readonly restFrom?: number;
  readonly restTo?: number;
};

/** Fewer samples than this between start and end are too few to tell phases by. */
const fewestSamples = 6;

/** The parts of a reading beyond peak, rest and rate: rules R-PHASE to R-OUTCOME of docs/reading.md. */
export function readDeeply(signal: Signal, facts: PullFacts): DeepReading | undefined {
  const { from, peakIndex, netN, before, cutOff, cell } = facts;
  if (!(netN > 0) || facts.to - from < fewestSamples) return undefined;
  const { force, place, zeroN } = signal;
  const until = Math.min(before, force.length, settledAfter(signal, facts));
  const falls = findFalls(signal, from, until, netN);
  const end = cutOff ? undefined : endFall(signal, falls, facts);
  const top = end?.top ?? force.length - 1;
  const beddingEnd = endOfBedding(signal, falls, { from, top, netN, peakIndex });
  const rampFrom = beddingEnd?.at ?? from;
  const averaged = Math.max(
    signal.sampling.averaged,
    end === undefined ? 1 : stairsAfter(signal, end.top, until, netN),
  );
  const smeared = { ...signal, sampling: { ...signal.sampling, averaged } };
  const slipsFound = fallsForSlips(signal, falls, { from, to: until, netN }).filter(
    (fall) => fall.low !== end?.low && fall.top < top && fall.top >= rampFrom && isSlip(smeared, fall, netN),
  );
  const holds = findHolds(signal, rampFrom, Math.min(peakIndex, slipsFound[0]?.top ?? peakIndex) + 1, netN);
  const collapse = end === undefined ? undefined : describeEnd(signal, end, until, netN);
  const ending =
    collapse === undefined || end === undefined
      ? undefined
      : endFacts(end, collapse, { slips: slipsFound.length, falls, clipped: facts.clipped });
  if (ending !== undefined) facts.onEnd?.(ending);
  const outcome =
    ending === undefined ? undefined : weighOutcome(ending, (newtons) => forceWords(applied(cell, newtons)));
  const slips = slipsFound.map(
    (fall): Slip => ({
      row: rowOf(signal.samples, fall.top) + 1,
      ...named("timeS", timeOf(signal.samples, fall.top)),
      fromN: applied(cell, (force[fall.top] as number) - zeroN),
      toN: applied(cell, fall.toN - zeroN),
    }),
  );
  const hold = longest(signal, holds);
  const peak = estimatePeak(smeared, facts, {
    from: rampFrom,
    to: until,
    tops: [...slipsFound, ...(end === undefined ? [] : [end])].map((fall) => fall.top),
  });
  const fell = outcome !== undefined && outcome.likeliest !== "stopped";
  return {
    phases: layOutPhases(signal, {
      from,
      ...named("restFrom", facts.restFrom),
      ...named("restTo", facts.restTo),
      ...named("beddingEnd", beddingEnd?.at),
      holds,
      ...(slipsFound.length === 0
        ? {}
        : { slipFrom: slipsFound[0]?.top as number, slipTo: (slipsFound.at(-1) as Fall).bottom }),
      top,
      ...(fell && collapse !== undefined ? { collapseTo: collapse.bottom } : {}),
      to: Math.min(Math.max(facts.to, collapse?.bottom ?? 0), force.length - 1),
    }),
    ...(beddingEnd === undefined ? {} : { bedding: asApplied(beddingEnd.bedding, cell) }),
    ...(hold === undefined ? {} : { hold: readHold(signal, hold, facts) }),
    strokes: countStrokes(signal, holds.at(-1)?.to ?? rampFrom, peakIndex, netN),
    slips,
    ...named("firstSlipN", slips[0]?.fromN),
    ...named("timeToPeakS", signal.intervalS === undefined ? undefined : place(peakIndex) - place(from)),
    ...(fell && collapse !== undefined && signal.intervalS !== undefined
      ? { collapseS: collapse.fallS }
      : {}),
    ...(fell && collapse?.heldOn === true ? { residualN: applied(cell, collapse.leftN) } : {}),
    ...workToPeak(signal, facts),
    ...(peak === undefined ? {} : { peak }),
    ...(outcome === undefined ? {} : { outcome }),
  };
}

/** Strands that held on carry a load below the level at which a pull ends: what follows at that level belongs to it. */
function settledAfter({ force, place, intervalS }: Signal, { to }: PullFacts): number {
  if (intervalS === undefined) return Math.min(force.length, to + 20);
  let at = to;
  const limit = place(Math.min(to, force.length - 1)) + 2;
  while (at < force.length && place(at) <= limit) at++;
  return at;
}

/** The fall with which the force went for good: the last one from at least a third of the peak to below half of itself. */
function endFall(
  { zeroN }: Signal,
  falls: readonly Fall[],
  { netN, peakIndex }: PullFacts,
): Fall | undefined {
  return falls.findLast(
    (fall) =>
      fall.low > peakIndex &&
      fall.fromN - zeroN >= 0.3 * netN &&
      fall.toN - zeroN <= 0.5 * (fall.fromN - zeroN),
  );
}

/** A cycle comes back to this part of its own height, and rises to at least this part of the peak. */
const cycleLow = 0.2;
const cycleHigh = 0.08;

function endOfBedding(
  signal: Signal,
  falls: readonly Fall[],
  { from, top, netN, peakIndex }: { from: number; top: number; netN: number; peakIndex: number },
): { at: number; bedding: Bedding } | undefined {
  const { force, zeroN } = signal;
  const { noiseN, stepN } = signal.sampling;
  const cycles = falls.filter(
    (fall) =>
      fall.low < Math.min(top, peakIndex) &&
      fall.fromN - zeroN >= cycleHigh * netN &&
      fall.toN - zeroN <= Math.max(cycleLow * (fall.fromN - zeroN), 4 * noiseN, 1.5 * stepN),
  );
  const last = cycles.at(-1);
  if (last === undefined) return undefined;
  const edge = Math.max(3 * noiseN, 0.6 * stepN, 0.004 * netN);
  let at = last.low;
  for (let next = last.low; next < top && (force[next] as number) < last.toN + 8 * edge; next++)
    if ((force[next] as number) <= last.toN + edge) at = next;
  const highest = cycles.map((fall) => fall.fromN - zeroN);
  return {
    at: Math.max(at, from),
    bedding: {
      cycles: cycles.length,
      lowestN: Math.min(...cycles.map((fall) => fall.toN - zeroN)),
      highestN: Math.max(...highest),
    },
  };
}

function asApplied({ cycles, lowestN, highestN }: Bedding, cell: CellFit | undefined): Bedding {
  return { cycles, lowestN: applied(cell, lowestN), highestN: applied(cell, highestN) };
}

type End = {
  readonly bottom: number;
  readonly leftN: number;
  readonly heldOn: boolean;
  readonly fallS: number;
  readonly lingerS: number;
  readonly suddenPart: number;
  readonly resolutionS: number;
  readonly fromN: number;
};

/** A strand that holds on carries from 3 % to half of what was there, steadily for this long. */
const heldS = 0.8;

function describeEnd(signal: Signal, end: Fall, until: number, netN: number): End {
  const { force, place, zeroN, intervalS } = signal;
  const { noiseN, stepN, averaged } = signal.sampling;
  const dt = intervalS ?? 1;
  const resolutionS = dt * averaged;
  const fromN = (force[end.top] as number) - zeroN;
  const soon = sampleAt(signal, place(end.top) + Math.max(0.12, (averaged + 1) * dt), end.top, until - 1);
  const later = sampleAt(signal, place(soon) + heldS, soon, until - 1);
  const level = (force[soon] as number) - zeroN;
  const still =
    intervalS !== undefined && place(later) - place(soon) >= 0.6 * heldS && later > soon + 1
      ? (force[later] as number) - zeroN
      : 0;
  const heldOn =
    level > Math.max(0.03 * netN, 6 * noiseN, 2 * stepN) &&
    level < 0.5 * fromN &&
    Math.abs(level - still) <= Math.max(0.1 * level, 5 * noiseN, 1.5 * stepN);
  const leftN = heldOn
    ? meanOf(force, soon, later) - zeroN
    : Math.min((force[end.low] as number) - zeroN, 0.05 * fromN);
  const size = fromN - leftN;
  const crossing = (part: number) => {
    const wanted = zeroN + leftN + part * size;
    let at = end.top + 1;
    while (at < until - 1 && (force[at] as number) > wanted) at++;
    const above = force[at - 1] as number;
    const below = force[at] as number;
    const within = above > below ? Math.min(1, Math.max(0, (above - wanted) / (above - below))) : 1;
    return { at, s: place(at - 1) + within * (place(at) - place(at - 1)) };
  };
  const nine = crossing(0.9);
  const one = crossing(0.1);
  return {
    bottom: one.at,
    leftN,
    heldOn,
    fallS: Math.max(0, one.s - nine.s),
    lingerS: Math.max(0, nine.s - lastRise(signal, end, netN)),
    suddenPart: Math.min(
      1,
      largestFall(signal, end.top, Math.min(until - 1, one.at + 1), Math.max(0.08, 1.05 * resolutionS)) /
        size,
    ),
    resolutionS,
    fromN,
  };
}

/** When the force first stood within the noise of the level from which it fell: it had risen until then. */
function lastRise({ force, place, sampling }: Signal, end: Fall, netN: number): number {
  const edge = Math.max(4 * sampling.noiseN, 0.8 * sampling.stepN, 0.002 * netN);
  let at = end.top;
  while (
    at > 0 &&
    (force[at - 1] as number) >= (force[end.top] as number) - edge &&
    (force[at - 1] as number) <= (force[end.top] as number) + 0.05 * netN
  )
    at--;
  let highest = at;
  for (let index = at; index <= end.top; index++)
    if ((force[index] as number) > (force[highest] as number)) highest = index;
  return place(highest);
}

function largestFall({ force, place }: Signal, from: number, to: number, withinS: number): number {
  let largest = 0;
  let start = from;
  for (let at = from; at <= to; at++) {
    while (place(at) - place(start) > withinS) start++;
    // The highest in the window stands at its start while the force falls.
    largest = Math.max(largest, (force[start] as number) - (force[at] as number));
  }
  return largest;
}

function endFacts(
  end: Fall,
  collapse: End,
  { slips, falls, clipped }: { slips: number; falls: readonly Fall[]; clipped: boolean },
): EndFacts {
  const before = falls.filter((fall) => fall !== end && fall.low <= end.top).length;
  return { ...collapse, slips: Math.min(slips, before), clipped };
}

function longest({ place }: Signal, holds: readonly HoldSpan[]): HoldSpan | undefined {
  const length = (hold: HoldSpan) => place(hold.to) - place(hold.from);
  return holds.reduce<HoldSpan | undefined>(
    (best, hold) => (best === undefined || length(hold) > length(best) ? hold : best),
    undefined,
  );
}

function meanOf(force: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let at = from; at <= to; at++) sum += force[at] as number;
  return sum / (to - from + 1);
}

/** Newtons as an operator reads them. */
function forceWords(newtons: number): string {
  return newtons >= 1000
    ? `${Number((newtons / 1000).toPrecision(3))} kN`
    : `${Number(newtons.toPrecision(3))} N`;
}
