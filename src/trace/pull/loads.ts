import type { Levels, RestRun } from "../samples/rest.ts";
import { placeOf, rowOf, type Samples, timeOf } from "../samples/samples.ts";
import { firstAbove, firstAtOrBelow, highestIn, lastAtOrBelow } from "../samples/walk.ts";

/** A stretch of the record under load, in samples from 0; `to` is the first sample at rest again, or the end. */
export type Load = {
  readonly from: number;
  readonly to: number;
  readonly peakIndex: number;
  readonly peak: number;
  readonly collapsed: boolean;
  /** The force was seen to rise: a load that stands at its highest when it is first seen was not pulled. */
  readonly rose: boolean;
};

type Span = { from: number; to: number; peakIndex: number };

/** A load begins above a tenth of the record's net force, and ends at or below a twentieth. */
const enterPart = 0.1;
const leavePart = 0.05;
/** The start is looked for further down: where the force last stood at a fiftieth, or at rest before that. */
const startPart = 0.02;
const restPart = 0.005;

/**
 * Rule R-LOAD: the stretches in which the force stands above rest. One begins where the force rises above a tenth of the
 * record's net force, its start looked for further down, and ends where a twentieth is reached again. A dip that holds no
 * rest and is shorter than a twentieth of the longer load beside it does not part them.
 */
export function findLoads(samples: Samples, levels: Levels): Load[] {
  const { force } = samples;
  const { floor, net, ripple } = levels;
  const enter = floor + Math.max(enterPart * net, 8 * ripple);
  const leave = floor + Math.max(leavePart * net, 4 * ripple);
  const startLevel = floor + Math.max(startPart * net, 3 * ripple);
  const restLevel = floor + Math.max(restPart * net, 3 * ripple);
  const spans: Span[] = [];
  let earliest = 0;
  for (;;) {
    const entered = firstAbove(force, enter, earliest, force.length);
    if (entered === force.length) break;
    let from = Math.max(earliest, lastAtOrBelow(force, startLevel, earliest, entered));
    // A soft toe goes on downward to rest; slack that was lifted before does not, and is left out.
    let foot = from;
    while (foot > earliest && (force[foot] as number) > restLevel && (force[foot] as number) <= startLevel)
      foot--;
    if ((force[foot] as number) <= restLevel) from = foot;
    const to = firstAtOrBelow(force, leave, entered, force.length);
    spans.push({ from, to, peakIndex: highestIn(force, entered, to) });
    earliest = to;
  }
  const bridged = bridgeDips(samples, levels.rests, spans);
  return bridgeShortRests(samples, bridged).map((span) => describeLoad(samples, span, floor));
}

/** A dip to rest as short as this part of the longer load beside it is no rest. */
const dipPart = 0.05;

/** Takes two loads as one where the dip between them is short and holds no rest: a wave, a re-gripped slip. */
function bridgeDips(samples: Samples, rests: readonly RestRun[], spans: readonly Span[]): readonly Span[] {
  const bridged: Span[] = [];
  let rest = 0;
  for (const span of spans) {
    const last = bridged.at(-1);
    if (last === undefined) {
      bridged.push({ ...span });
      continue;
    }
    while (rest < rests.length && (rests[rest] as RestRun).to <= last.to) rest++;
    const dip = placeOf(samples, span.from) - placeOf(samples, Math.min(last.to, span.from));
    const longer = Math.max(lengthOf(samples, last), lengthOf(samples, span));
    const restBetween = rest < rests.length && (rests[rest] as RestRun).from < span.from;
    if (restBetween || dip > dipPart * longer) bridged.push({ ...span });
    else join(samples, last, span);
  }
  return bridged;
}

function join({ force }: Samples, load: Span, next: Span): void {
  load.to = next.to;
  if ((force[next.peakIndex] as number) > (force[load.peakIndex] as number)) load.peakIndex = next.peakIndex;
}

/** More loads than this in one recording are waves or noise about the threshold, not pulls. */
const mostLoads = 500;

/** Takes loads with the shortest rests between them as one until few enough are left. */
function bridgeShortRests(samples: Samples, spans: readonly Span[]): readonly Span[] {
  if (spans.length <= mostLoads) return spans;
  const rests = spans.slice(1).map((span, at) => span.from - (spans[at] as Span).to);
  const longest = rests.toSorted((a, b) => b - a)[mostLoads - 1] as number; // more rests than that, see above
  const bridged: Span[] = [];
  for (const span of spans) {
    const last = bridged.at(-1);
    if (last === undefined || span.from - last.to > longest) bridged.push({ ...span });
    else join(samples, last, span);
  }
  return bridged;
}

/** One load out of several: from the first one's start to the last one's end. */
export function joinLoads(samples: Samples, loads: readonly [Load, ...Load[]], floor: number): Load {
  if (loads.length === 1) return loads[0];
  const highest = loads.reduce((best, load) => (load.peak > best.peak ? load : best));
  const last = loads.at(-1) ?? highest;
  return describeLoad(samples, { from: loads[0].from, to: last.to, peakIndex: highest.peakIndex }, floor);
}

/** How long something lasts on the axis that the recording has: seconds, or rows where it has no time. */
export function lengthOf(samples: Samples, load: { from: number; to: number }): number {
  const end = Math.min(load.to, samples.force.length - 1);
  return Math.max(0, placeOf(samples, end) - placeOf(samples, load.from));
}

/** What came after the last time that much of the force was there; see `endOf`. */
export type FinalFall = {
  /** The last sample at or above 60 % of the net peak, and the last one at or above 30 %. */
  readonly high: number;
  readonly low: number;
  readonly kind: "collapse" | "decline" | "cut-off";
};

/**
 * Rule R-END. A load is cut off where the record stops while 30 % of the net peak is still there. It collapses where the
 * force goes for good from 90 % to 35 % of the last level that it had within 0.2 s, or loses 65 % of it from one sample to
 * the next, within a tenth of the load's length. Otherwise it declines. Without a clock: within 5 rows and a fiftieth.
 */
export function endOf(
  samples: Samples,
  load: { from: number; to: number; peakIndex: number },
  floor: number,
): FinalFall {
  const { force } = samples;
  const net = (force[load.peakIndex] as number) - floor;
  let low = Math.min(load.to, force.length) - 1;
  while (low > load.peakIndex && (force[low] as number) < floor + 0.3 * net) low--;
  let high = low;
  while (high > load.peakIndex && (force[high] as number) < floor + 0.6 * net) high--;
  if (low + 1 >= force.length) return { high, low, kind: "cut-off" };
  return { high, low, kind: isSudden(samples, load, { high, low, floor }) ? "collapse" : "decline" };
}

/** A break is over within this time, and a load that is let off takes longer (common practice, no published source). */
const suddenS = 0.2;
/** Or, where the samples are too far apart to tell, it takes this part of the force from one sample to the next. */
const atOncePart = 0.65;

function isSudden(
  samples: Samples,
  load: { from: number; to: number },
  { high, low, floor }: { high: number; low: number; floor: number },
): boolean {
  const { force } = samples;
  let top = high;
  while (top > load.from && (force[top - 1] as number) > (force[top] as number)) top--;
  const net = (force[top] as number) - floor;
  let last = top;
  for (let at = top; at <= high; at++) if ((force[at] as number) >= floor + 0.9 * net) last = at;
  let gone = low + 1;
  while (gone < force.length - 1 && (force[gone] as number) > floor + 0.35 * net) gone++;
  const part =
    (placeOf(samples, gone) - placeOf(samples, last)) / Math.max(lengthOf(samples, load), Number.MIN_VALUE);
  let atOnce = 0;
  for (let at = last; at < gone; at++)
    atOnce = Math.max(atOnce, (force[at] as number) - (force[at + 1] as number));
  const seconds = secondsBetween(samples, last, gone);
  if (atOnce >= atOncePart * net && part <= 0.1) return true;
  return seconds === undefined
    ? rowOf(samples, gone) - rowOf(samples, last) <= 5 && part <= 0.02
    : seconds <= suddenS;
}

function describeLoad(
  samples: Samples,
  span: { from: number; to: number; peakIndex: number },
  floor: number,
): Load {
  const peak = samples.force[span.peakIndex] as number;
  const first = samples.force[span.from] as number;
  return {
    ...span,
    peak,
    collapsed: endOf(samples, span, floor).kind === "collapse",
    rose: span.peakIndex - span.from >= 3 && first - floor <= 0.75 * (peak - floor),
  };
}

/** Seconds between two samples where the recording has a clock; rows cannot say how long a rest was. */
export function secondsBetween(samples: Samples, from: number, to: number): number | undefined {
  const start = timeOf(samples, from);
  const end = timeOf(samples, Math.min(to, samples.force.length - 1));
  return start === undefined || end === undefined ? undefined : end - start;
}
