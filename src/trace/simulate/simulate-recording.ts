import { ok, type Result, refuse } from "../../problem/mod.ts";
import { createRandom, type Random } from "../../stats/mod.ts";
import { between, bump } from "./bench-acts.ts";
import type { Segment } from "./history.ts";
import { playPull } from "./play-pull.ts";
import { type LoggerSpec, type RecordingSpec, shownBy, specProblems } from "./spec.ts";
import type { PhaseSpan, PullTruth } from "./truth.ts";

/** What a simulated logger took down, in SI units, with what it should have seen. */
export type SimulatedRecording = {
  readonly timeS: Float64Array;
  /** As recorded: with offset, drift and noise, in the steps of the logger, clipped at its capacity. */
  readonly forceN: Float64Array;
  /** The force on the cell at the same instants, without any of that. */
  readonly trueForceN: Float64Array;
  readonly displacementM?: Float64Array;
  /** Samples that the capacity clipped. */
  readonly clipped: number;
  /** One truth for each pull, in their order. */
  readonly truth: readonly PullTruth[];
};

/**
 * What a bench's logger would have written of one pull or several, made from a seed, with the truth about each.
 * The same spec and seed give the same samples. Refused where the spec asks for what no bench could do.
 *
 * Model: a specimen with a soft toe and then a constant stiffness; bedding cycles that shorten the toe; a set load held
 * while force settles as F1[1 − r log10(1 + t/t1)]; a ramp at a constant rate or by hand strokes; slips, broken strands
 * and an ending; a cell with errors, offset, drift, white noise and 2^bits steps over ± its capacity; an amplifier that may average; a clock
 * with jitter.
 *
 * @example
 * const answer = simulateRecording({
 *   pulls: [{
 *     specimen: { breakN: 20_000, stiffnessNPerM: 500_000, toeM: 0.02, slackM: 0.01 },
 *     drive: { kind: "steady", speedMPerS: 0.003 },
 *     restS: 2,
 *     tailS: 3,
 *   }],
 *   logger: { rateHz: 100, jitterS: 0, capacityN: 50_000, bits: 24, noiseN: 5, offsetN: 30, driftNPerMinute: 0 },
 * }, 1);
 * answer.ok && answer.value.truth[0]?.peakN // 20000
 */
export function simulateRecording(spec: RecordingSpec, seed: number): Result<SimulatedRecording> {
  const [first, ...others] = specProblems(spec);
  if (first !== undefined) return refuse(first, ...others);
  const random = createRandom(seed);
  const segments: Segment[] = [];
  const truth: PullTruth[] = [];
  let timeS = 0;
  for (const [index, pull] of spec.pulls.entries()) {
    if (index > 0) segments.push(...gap(spec, segments.at(-1), timeS, random));
    timeS = segments.at(-1)?.endS ?? 0;
    const played = playPull(pull, timeS, random);
    segments.push(...played.history.segments);
    timeS = played.history.timeS;
    const { startS } = played.truth;
    truth.push({
      ...played.truth,
      restN: restAt(spec.logger, startS),
      phases: spansOf(played.history.segments),
    });
  }
  return ok({ ...record(segments, spec.logger, random), truth });
}

/** Between pulls the drive goes back, and the next specimen is hung on by hand. */
function gap(spec: RecordingSpec, before: Segment | undefined, startS: number, random: Random): Segment[] {
  const fromM = before === undefined ? 0 : before.positionAfter(before.endS - before.startS);
  const durationS = spec.gapS ?? 12;
  const segments: Segment[] = [];
  let timeS = startS;
  const add = (lastsS: number, forceAfter: (sinceS: number) => number): void => {
    const partAt = timeS - startS;
    const positionAfter = (sinceS: number): number => fromM * (1 - (partAt + sinceS) / durationS);
    segments.push({ phase: "handling", startS: timeS, endS: timeS + lastsS, forceAfter, positionAfter });
    timeS += lastsS;
  };
  // Three equal parts: two with a tug in them, of a length that always leaves some quiet; the last one still.
  for (let part = 0; part < 2; part++) {
    const tugS = (durationS / 3) * between(random, 0.1, 0.4);
    add(durationS / 3 - tugS, () => 0);
    add(tugS, bump((spec.handlingN ?? 0) * between(random, 0.2, 1), tugS));
  }
  add(durationS / 3, () => 0);
  return segments;
}

function record(
  segments: readonly Segment[],
  logger: LoggerSpec,
  random: Random,
): Omit<SimulatedRecording, "truth"> {
  const intervalS = 1 / logger.rateHz;
  const rows = Math.floor((segments.at(-1)?.endS ?? 0) * logger.rateHz) + 1;
  const stepN = (2 * logger.capacityN) / 2 ** logger.bits;
  const timeS = new Float64Array(rows);
  const forceN = new Float64Array(rows);
  const trueForceN = new Float64Array(rows);
  const displacementM = logger.displacement === true ? new Float64Array(rows) : undefined;
  const lastRaw = new Float64Array(logger.averagedSamples ?? 1);
  let clipped = 0;
  let at = 0;
  for (let row = 0; row < rows; row++) {
    // Bounded, so that stamps never run backward.
    const lateS = Math.min(0.45, Math.max(-0.45, (logger.jitterS / intervalS) * random.normal())) * intervalS;
    const sampledAtS = Math.max(0, row * intervalS + lateS);
    while (at < segments.length - 1 && sampledAtS >= (segments[at] as Segment).endS) at++;
    const segment = segments[at] as Segment;
    const sinceS = Math.min(sampledAtS, segment.endS) - segment.startS;
    const trueN = segment.forceAfter(sinceS);
    const onCellN = logger.cellError === undefined ? trueN : shownBy(logger.cellError, trueN);
    const rawN = onCellN + restAt(logger, sampledAtS) + logger.noiseN * random.normal();
    const shownN = averaged(lastRaw, row, rawN);
    const heldN = Math.min(logger.capacityN - stepN, Math.max(-logger.capacityN, shownN));
    if (heldN !== shownN) clipped++;
    timeS[row] = sampledAtS;
    trueForceN[row] = trueN;
    forceN[row] = Math.round(heldN / stepN) * stepN;
    if (displacementM !== undefined) displacementM[row] = segment.positionAfter(sinceS);
  }
  return { timeS, forceN, trueForceN, ...(displacementM === undefined ? {} : { displacementM }), clipped };
}

/** What the cell shows of no load at a moment. */
export function restAt(logger: LoggerSpec, timeS: number): number {
  const { swing } = logger;
  const swungN = swing === undefined ? 0 : swing.amplitudeN * Math.sin((2 * Math.PI * timeS) / swing.periodS);
  return logger.offsetN + (logger.driftNPerMinute * timeS) / 60 + swungN;
}

/** The mean of the latest values, of which `latest` keeps as many as are averaged; at the start, of those there are. */
function averaged(latest: Float64Array, row: number, value: number): number {
  if (latest.length === 1) return value;
  latest[row % latest.length] = value;
  const count = Math.min(row + 1, latest.length);
  let sum = 0;
  for (let at = 0; at < count; at++) sum += latest[at] as number;
  return sum / count;
}

function spansOf(segments: readonly Segment[]): PhaseSpan[] {
  const spans: PhaseSpan[] = [];
  for (const { phase, startS, endS } of segments) {
    const last = spans.at(-1);
    if (last?.phase === phase) spans[spans.length - 1] = { ...last, endS };
    else spans.push({ phase, startS, endS });
  }
  return spans;
}
