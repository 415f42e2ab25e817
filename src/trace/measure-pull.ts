import type { Warning } from "../problem/mod.ts";
import { biggest, type DropSpan, dropThreshold, findDrops, toDrop } from "./drops.ts";
import { fitRate } from "./loading-rate.ts";
import { endOf, type Load } from "./loads.ts";
import { doubtsAbout } from "./pull-doubts.ts";
import type { PullReading } from "./reading.ts";
import type { Levels, RestRun } from "./rest.ts";
import { rowOf, type Samples, timeOf } from "./samples.ts";

/** A pull lists this many drops; waves on a long haul make more. */
const mostDrops = 1000;

/** What is known about the record around a pull. */
export type Surroundings = {
  readonly samples: Samples;
  readonly levels: Levels;
  readonly noise: number;
  /** Sample at which the previous pull ended and at which the next one starts: rests are looked for between them. */
  readonly after: number;
  readonly before: number;
  readonly intervalS?: number;
};

/** Reads one pull: peak, rest, rate, drops and end, with its doubts. */
export function measurePull(load: Load, index: number, around: Surroundings): PullReading {
  const { samples, levels, noise } = around;
  const { force } = samples;
  const fall = endOf(samples, load, levels.floor);
  const rest = restOf(load, fall.kind === "collapse", around);
  const zero = rest.level ?? levels.floor;
  const drops = findDrops(force, load.from, fallenTo(force, load.to), dropThreshold(load.peak, noise));
  const lastDrop = drops.at(-1);
  const collapse =
    fall.kind === "collapse" && lastDrop !== undefined && lastDrop.fromIndex <= fall.high
      ? lastDrop
      : undefined;
  const rate = fitRate(samples, load, zero, lastRiseFrom(load, drops));
  const endIndex = Math.min(load.to, force.length - 1);
  const measured = {
    index,
    startRow: rowOf(samples, load.from) + 1,
    endRow: rowOf(samples, endIndex) + 1,
    ...named("startS", timeOf(samples, load.from)),
    ...named("endS", timeOf(samples, endIndex)),
    peakN: load.peak,
    peakRow: rowOf(samples, load.peakIndex) + 1,
    ...named("peakTimeS", timeOf(samples, load.peakIndex)),
    ...named("restN", rest.level),
    ...named("netPeakN", rest.level === undefined ? undefined : load.peak - rest.level),
    ...(rate ?? {}),
    drops: biggest(samples, drops, mostDrops).map((drop) => toDrop(samples, drop)),
    ...(drops.length > mostDrops ? { dropCount: drops.length } : {}),
    end: fall.kind,
    ...(collapse === undefined ? {} : { collapse: toDrop(samples, collapse) }),
    noiseN: noise,
  };
  const warnings: Warning[] = doubtsAbout(measured, { ...around, load, fall, zero, rest });
  return { ...measured, warnings };
}

/** What was taken as zero, and the rests on both sides where there are both. */
export type RestFound = { readonly level?: number; readonly before?: number; readonly after?: number };

/**
 * Rule R-REST, second part. Zero is the longest rest before the pull. Where the record did not start at rest and the
 * pull ended in a collapse it is the longest rest after it: a log that starts on a trigger has no unloaded beginning,
 * only slack. Where only one side rests, it is that side. Without any there is no zero, and none is made up.
 */
function restOf(load: Load, collapsed: boolean, { samples, levels, after, before }: Surroundings): RestFound {
  const count = samples.force.length;
  const longest = (runs: readonly RestRun[]) =>
    runs.reduce<RestRun | undefined>(
      (best, run) => (best === undefined || run.to - run.from > best.to - best.from ? run : best),
      undefined,
    );
  const middle = (run: RestRun) => (run.from + run.to) / 2;
  const ahead = longest(levels.rests.filter((run) => middle(run) >= after && middle(run) <= load.from + 1));
  const behind = longest(
    levels.rests.filter((run) => middle(run) >= load.to && middle(run) <= Math.max(before, load.to)),
  );
  // The first rest of the record lies at its very beginning unless the log started under load.
  const startedAtRest =
    (levels.rests[0]?.from ?? count) <= Math.max(5, count / 500) &&
    (samples.force[0] as number) <= levels.floor + 0.05 * levels.net;
  const chosen = ahead === undefined || (!startedAtRest && collapsed) ? (behind ?? ahead) : ahead;
  return {
    ...named("level", chosen?.level),
    ...named("before", ahead?.level),
    ...named("after", behind?.level),
  };
}

/** A pull ends at a twentieth of its force; its last drop goes on for as long as the force keeps falling. */
function fallenTo(force: Float64Array, end: number): number {
  let to = Math.min(end + 1, force.length);
  while (to < force.length && (force[to] as number) < (force[to - 1] as number)) to++;
  return to;
}

/** The last rise to the peak begins at the lowest point of the last drop before it, or at the pull's start. */
function lastRiseFrom(load: Load, drops: readonly DropSpan[]): number {
  let from = load.from;
  for (const drop of drops) if (drop.lowIndex < load.peakIndex) from = Math.max(from, drop.lowIndex);
  return from;
}

function named<Name extends string>(name: Name, value: number | undefined): { [key in Name]?: number } {
  return value === undefined ? {} : ({ [name]: value } as { [key in Name]: number });
}
