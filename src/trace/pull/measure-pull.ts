import type { Warning } from "../../problem/mod.ts";
import { named } from "../named.ts";
import type { PullReading } from "../reading.ts";
import type { DeepReading } from "../reading-parts.ts";
import { rowOf, timeOf } from "../samples/samples.ts";
import { createSignal } from "../samples/signal.ts";
import { applied } from "./cell-fit.ts";
import { isClipped } from "./clipping.ts";
import { readDeeply } from "./deep-reading.ts";
import { biggest, type DropSpan, dropThreshold, findDrops, toDrop } from "./drops.ts";
import { fitRate } from "./loading-rate.ts";
import { endOf, type FinalFall, type Load } from "./loads.ts";
import { doubtsAbout } from "./pull-doubts.ts";
import { type RestFound, restOf, type Surroundings } from "./pull-rest.ts";
import { zeroOf } from "./zero.ts";

/** A pull lists this many drops; waves on a long haul make more. */
const mostDrops = 1000;

/** Reads one pull: peak, rest, rate, drops and end, with its doubts. */
export function measurePull(found: Load, index: number, around: Surroundings): PullReading {
  const { samples, levels, noise, cell } = around;
  const { force } = samples;
  const rest = restOf(found, found.collapsed, around);
  const zero = rest.level ?? levels.floor;
  const fall = endOf(samples, found, zero);
  const load = { ...found, from: startOf(found, rest, around) };
  const drops = findDrops(
    force,
    load.from,
    fallenTo(force, load.to),
    dropThreshold(load.peak, noise, around.sampling.stepN),
  );
  const lastDrop = drops.at(-1);
  const collapse =
    fall.kind === "collapse" && lastDrop !== undefined && lastDrop.fromIndex <= fall.high
      ? lastDrop
      : undefined;
  const riseFrom = lastRiseFrom(load, drops);
  const rate = fitRate(samples, load, zero, riseFrom, cell);
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
    ...named("netPeakN", rest.level === undefined ? undefined : applied(cell, load.peak - rest.level)),
    ...(rate ?? {}),
    drops: biggest(samples, drops, mostDrops).map((drop) => toDrop(samples, drop)),
    ...(drops.length > mostDrops ? { dropCount: drops.length } : {}),
    end: fall.kind,
    ...(collapse === undefined ? {} : { collapse: toDrop(samples, collapse) }),
    noiseN: noise,
  };
  const clipped = isClipped(samples, load, around);
  const deep = readMore(load, { fall, rest, zero, clipped, riseFrom }, around);
  const warnings: Warning[] = doubtsAbout(measured, {
    ...around,
    load,
    fall,
    zero,
    rest,
    clipped,
    ...named("hold", deep?.hold),
  });
  return { ...measured, ...named("deep", deep), warnings };
}

/**
 * Rule R-START, second part: the start is followed down to the level of the rest before this very pull, which drift may
 * have moved, but not over a hump of more than a hundredth of the peak: slack that was lifted and let go.
 */
function startOf(load: Load, { runBefore }: RestFound, { samples, sampling, after }: Surroundings): number {
  if (runBefore === undefined) return load.from;
  const { force } = samples;
  const net = load.peak - runBefore.level;
  const atRest = runBefore.level + Math.max(3.3 * sampling.noiseN, 0.6 * sampling.stepN, 0.002 * net);
  const hump = Math.max(0.01 * net, 6 * sampling.noiseN, 1.6 * sampling.stepN);
  let lowest = force[load.from] as number;
  for (let at = load.from; at >= after; at--) {
    const value = force[at] as number;
    if (value <= atRest) return at;
    if (value > lowest + hump) break;
    lowest = Math.min(lowest, value);
  }
  return load.from;
}

/** The deeper reading, on the clock that was put right. */
function readMore(
  load: Load,
  known: { fall: FinalFall; rest: RestFound; zero: number; clipped: boolean; riseFrom: number },
  around: Surroundings,
): DeepReading | undefined {
  const { samples, sampling, intervalS, clock, after, before, displacementM, cell } = around;
  const { rest, zero } = known;
  const signal = createSignal(samples, {
    sampling,
    zeroN: zero,
    ...named("clock", clock),
    ...named("intervalS", intervalS),
  });
  return readDeeply(signal, {
    from: load.from,
    to: load.to,
    after,
    before,
    peakIndex: load.peakIndex,
    netN: load.peak - zero,
    cutOff: known.fall.kind === "cut-off",
    clipped: known.clipped,
    riseFrom: known.riseFrom,
    hasRest: rest.level !== undefined,
    zero: zeroOf(signal, rest, zero, load.peak - zero),
    ...named("restFrom", rest.runBefore === undefined ? undefined : Math.max(after, rest.runBefore.from)),
    ...named("restTo", rest.runAfter === undefined ? undefined : Math.min(before, rest.runAfter.to) - 1),
    ...named("displacementM", displacementM),
    ...named("cell", cell),
    onEnd: around.onEnd,
  });
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
