import type { Warning } from "../problem/mod.ts";
import type { ReadingContext } from "./calibration.ts";
import type { Layout } from "./layout.ts";
import { named } from "./named.ts";
import { type CellFit, fitCell } from "./pull/cell-fit.ts";
import { findLoads, type Load } from "./pull/loads.ts";
import { measurePull } from "./pull/measure-pull.ts";
import type { EndFacts } from "./pull/outcome.ts";
import { sortLoads } from "./pull/pulls.ts";
import { checkSamples } from "./pull/sample-doubts.ts";
import type { OtherLoad, PullReading, Reading, Trace } from "./reading.ts";
import { type Clock, readClock } from "./samples/clock.ts";
import { noiseOf } from "./samples/noise.ts";
import { findLevels, type Levels, levelled } from "./samples/rest.ts";
import { rowOf, type Samples, samplesAt, samplesOf, timeOf } from "./samples/samples.ts";
import { describeSampling, type Sampling, stepOf } from "./samples/sampling.ts";
import { findSpikes, withoutSamples } from "./samples/spikes.ts";
import { stairsAfter } from "./samples/stairs.ts";
import { highestIn, type Neighbours, walk } from "./samples/walk.ts";

/** Fewer samples than this are no record. */
const fewestSamples = 3;

const method = { name: "reading", version: "5" } as const;

/** With a net force under this many ripples nothing was pulled. */
const ripplesOfALoad = 20;

/**
 * Reads the pulls out of a trace: how many there are, and of each start, end, peak, rest, loading rate, drops and end,
 * by the rules of docs/reading.md.
 *
 * @param trace samples in newtons and seconds; a missing force is NaN and is never bridged.
 * @returns forces in newtons, times in seconds as the file counts them, rows from 1. A record without a load has no
 * pulls and says so; a figure that cannot be given is absent, with a warning.
 *
 * @example
 * readTrace({ forceN, timeS, missing: 0 }, { layout }).pulls[0]?.peakN
 */
export function readTrace(
  trace: Trace,
  options: {
    readonly layout: Layout;
    readonly warnings?: readonly Warning[];
    readonly context?: ReadingContext;
    /** Told how each pull ended, in the order of the pulls that ended; for fitting weights, not for reading. */
    readonly onEnd?: (facts: EndFacts) => void;
  },
): Reading {
  const warnings: Warning[] = [...(options.warnings ?? [])];
  const clock = readClock(trace.timeS);
  warnings.push(...clock.warnings);
  const { intervalS, pauses } = clock;
  const { calibration } = options.context ?? {};
  const first = trace.timeS?.[0];
  const last = trace.timeS?.at(-1);
  const cell = calibration === undefined ? undefined : fitCell(calibration);
  const pulls: PullReading[] = [];
  const otherLoads: OtherLoad[] = [];
  const recorded = samplesOf(trace);
  const { sampling, levels } = samplingOf(recorded, clock);
  const spikes = findSpikes(recorded.force, sampling);
  const whole = withoutSamples(recorded, spikes);
  const single = trace.segment !== undefined;
  const parts = split(trace, whole, clock.resets).map((samples) => ({
    samples,
    // Mostly there is one part and no spike: the levels are those that the sampling was told by.
    levels:
      samples.force === recorded.force
        ? levels
        : findLevels(samples.force, sampling.stepN, samplesAt(samples, pauses)),
  }));
  // A stretch between two starts of the clock is judged by the highest load of the file; a named segment by itself.
  const highest = single ? 0 : Math.max(0, ...parts.map((part) => part.levels.net));
  for (const part of parts) {
    const found = readPart(part, {
      single,
      highest,
      pullsBefore: pulls.length,
      intervalS,
      sampling,
      ...named("clock", clock.timeS),
      ...named("displacementM", trace.displacementM),
      ...named("cell", cell),
      onEnd: options.onEnd,
    });
    pulls.push(...found.pulls);
    otherLoads.push(...found.others);
  }
  if (pulls.length === 0) warnings.push(noPull(trace, whole));
  if (trace.timeS === undefined) warnings.push(noTime);
  if (trace.missing > 0) warnings.push(missingValues(trace));
  warnings.push(
    ...checkSamples({
      recorded,
      sampling,
      spikes,
      pulls,
      cell,
      context: options.context ?? {},
      inverted: options.layout.force.inverted,
      turned: trace.turned === true,
      hasTime: trace.timeS !== undefined,
    }),
  );
  return {
    method,
    layout: options.layout,
    rows: trace.forceN.length,
    missing: trace.missing,
    sign: (options.layout.force.inverted ?? trace.turned) ? "turned round" : "as in the file",
    ...(first === undefined || last === undefined ? {} : { durationS: last - first }),
    ...(intervalS === undefined ? {} : { intervalS }),
    ...(trace.startedAt === undefined ? {} : { startedAt: trace.startedAt }),
    pulls,
    otherLoads,
    warnings,
  };
}

/** Between samples further apart than this a load can be let off in even steps, and no amplifier averages so long. */
const averagingS = 0.03;

/** Rule R-SAMPLES: what the rests tell of how samples were taken, and what a break tells that an amplifier spread out. */
function samplingOf(
  samples: Samples,
  { intervalS, pauses }: Clock,
): { readonly sampling: Sampling; readonly levels: Levels } {
  const { force } = samples;
  const stepN = stepOf(force);
  const levels = findLevels(force, stepN, samplesAt(samples, pauses));
  const { rests, net } = levels;
  const sampling = describeSampling(force, rests, stepN);
  if (intervalS === undefined || intervalS > averagingS) return { sampling, levels };
  let averaged = sampling.averaged;
  const plainly = 0.02 * net;
  const fall = (at: number) => (force[at - 1] as number) - (force[at] as number);
  const holdNone = ({ low, high, from }: Neighbours) =>
    Math.max(high, force[from - 1] as number) - low <= plainly;
  walk(force, { from: 2, to: force.length - 1 }, holdNone, (at) => {
    if (fall(at) > plainly && fall(at - 1) <= plainly)
      averaged = Math.max(averaged, stairsAfter({ force }, at - 1, force.length, net));
  });
  return { sampling: { ...sampling, averaged }, levels };
}

type Part = { readonly samples: Samples; readonly levels: Levels };

function readPart(
  { samples, levels }: Part,
  known: {
    single: boolean;
    highest: number;
    pullsBefore: number;
    intervalS: number | undefined;
    sampling: Sampling;
    clock?: Float64Array;
    displacementM?: Float64Array;
    cell?: CellFit;
    onEnd: ((facts: EndFacts) => void) | undefined;
  },
): { pulls: PullReading[]; others: OtherLoad[] } {
  if (!(levels.net > ripplesOfALoad * levels.ripple)) return { pulls: [], others: [] };
  const { intervalS } = known;
  const level = { ...samples, force: levelled(samples.force, levels) };
  const loads = findLoads(level, levels);
  const sorted = sortLoads(level, loads, {
    floor: levels.floor,
    highest: levels.floor + Math.max(levels.net, known.highest),
    single: known.single,
  });
  const noise = noiseOf(samples.force);
  const pulls = sorted.pulls.map((load, at) =>
    measurePull(asRecorded(samples, load), known.pullsBefore + at + 1, {
      samples,
      levels,
      noise,
      after: sorted.pulls[at - 1]?.to ?? 0,
      before: sorted.pulls[at + 1]?.from ?? samples.force.length,
      sampling: known.sampling,
      ...named("clock", known.clock),
      ...named("displacementM", known.displacementM),
      ...named("cell", known.cell),
      onEnd: known.onEnd,
      ...(intervalS === undefined ? {} : { intervalS }),
    }),
  );
  return { pulls, others: sorted.others.map((load) => describeOther(samples, load)) };
}

/** The load with its highest sample as recorded, where it is first reached: drift may have moved it by a little. */
function asRecorded({ force }: Samples, load: Load): Load {
  const peakIndex = highestIn(force, load.from, Math.min(load.to, force.length));
  return { ...load, peakIndex, peak: force[peakIndex] as number };
}

/** Cuts a record where the layout's segment column changes, or else where the clock starts again. */
function split(trace: Trace, samples: Samples, resets: readonly number[]): Samples[] {
  const parts: Samples[] = [];
  const count = samples.force.length;
  if (trace.segment === undefined && resets.length === 0)
    return count >= fewestSamples ? [cut(samples, 0, count)] : [];
  const belongTo = stretches(trace, resets);
  let from = 0;
  for (let index = 1; index <= count; index++) {
    if (index < count && belongTo(rowOf(samples, index)) === belongTo(rowOf(samples, from))) continue;
    if (index - from >= fewestSamples) parts.push(cut(samples, from, index));
    from = index;
  }
  return parts;
}

/** Which stretch of the record a row belongs to. */
function stretches({ segment }: Trace, resets: readonly number[]): (row: number) => number {
  if (segment !== undefined) return (row) => segment[row] as number;
  // Rows are asked for in order, or again for the start of the stretch: a short way from the last one.
  let at = 0;
  return (row) => {
    while (at < resets.length && (resets[at] as number) <= row) at++;
    while (at > 0 && (resets[at - 1] as number) > row) at--;
    return at;
  };
}

function cut(samples: Samples, from: number, to: number): Samples {
  if (from === 0 && to === samples.force.length) return samples;
  const rows =
    samples.rows?.subarray(from, to) ?? Int32Array.from({ length: to - from }, (_, at) => from + at);
  return { ...samples, force: samples.force.subarray(from, to), rows };
}

function describeOther(samples: Samples, load: Load): OtherLoad {
  const end = Math.min(load.to, samples.force.length - 1);
  const startS = timeOf(samples, load.from);
  const endS = timeOf(samples, end);
  return {
    startRow: rowOf(samples, load.from) + 1,
    endRow: rowOf(samples, end) + 1,
    ...(startS === undefined || endS === undefined ? {} : { startS, endS }),
    peakN: load.peak,
  };
}

function noPull(trace: Trace, samples: Samples): Warning {
  return {
    code: "READING_NO_PULL",
    message:
      samples.force.length < 3
        ? "Fewer than 3 rows have a force: there is no pull to read."
        : "The force never rises clearly above its own scatter: there is no pull in this record.",
    found: `${samples.force.length} values in ${trace.forceN.length} rows`,
    wayOut: "Wrong column? Import again with --force-column.",
  };
}

const noTime: Warning = {
  code: "READING_NO_TIME",
  message: "The file has no time: places are given by rows, and there are no times and no loading rate.",
  wayOut: "If the logger's rate is known, import again with --rate-hz.",
};

function missingValues({ forceN, missing, timeS }: Trace): Warning {
  let longest = 0;
  let longestTo = 0;
  let run = 0;
  for (let row = 0; row < forceN.length; row++) {
    run = Number.isNaN(forceN[row] as number) ? run + 1 : 0;
    if (run > longest) {
      longest = run;
      longestTo = row;
    }
  }
  const from = longestTo - longest + 1;
  const time = timeS?.[from];
  return {
    code: "READING_MISSING",
    message:
      `${missing} of ${forceN.length} rows have no force. Nothing was put in their place; the longest gap is ` +
      `${longest} rows from row ${from + 1}${time === undefined ? "" : ` (${Number(time.toPrecision(6))} s)`}.`,
    where: { row: from + 1 },
    found: `${missing} missing`,
  };
}
