import type { Fault } from "./faults.ts";
import type { ForceFall, PhaseSpan, PullTruth } from "./truth.ts";

/** What is true of a drawn recording. Times are seconds as the file counts them, from its first row. */
export type RecordingTruth = {
  readonly seed: number;
  readonly pulls: readonly DrawnPull[];
  readonly faults: readonly Fault[];
  readonly logger: LoggerTruth;
  /** How the pulls of the file are parted: by rest alone, by a pause of the logger, or by a column. */
  readonly parted: "one pull" | "rest" | "pause" | "column";
  /** False where the column that is named force holds the travel of the ram. */
  readonly isForce: boolean;
};

export type LoggerTruth = {
  readonly rateHz: number;
  /** Standard deviation of the noise in a sample, in newtons. */
  readonly noiseN: number;
  /** The steps in which forces stand in the file: the cell's, or the last digit's where that is larger. */
  readonly stepN: number;
  /** The cell's limit. */
  readonly capacityN: number;
  readonly averagedSamples: number;
  /** How long rows share one stamp; 0 where each has its own. */
  readonly batchS: number;
};

/** One pull of a drawn recording, as far as it is in the file. */
export type DrawnPull = PullTruth & {
  readonly drive: "steady" | "strokes";
  /**
   * Whether the cell's limit cut the top off: "barely" where fewer than three samples show it, which then look like a
   * peak of their own.
   */
  readonly clipped: "no" | "barely" | "plainly";
  /** The record begins under load: the start is not in it. */
  readonly startCut: boolean;
  /** The record ends before the collapse: neither end nor outcome is in it. */
  readonly endCut: boolean;
};

/** Moves all times of a truth by some seconds. */
export function shiftPull<P extends PullTruth>(pull: P, byS: number): P {
  const fall = (one: ForceFall): ForceFall => ({ ...one, timeS: one.timeS + byS });
  return {
    ...pull,
    startS: pull.startS + byS,
    endS: pull.endS + byS,
    peakTimeS: pull.peakTimeS + byS,
    endingTimeS: pull.endingTimeS + byS,
    slips: pull.slips.map(fall),
    strandBreaks: pull.strandBreaks.map(fall),
    restrokes: pull.restrokes.map(fall),
    ...(pull.hold === undefined
      ? {}
      : { hold: { ...pull.hold, startS: pull.hold.startS + byS, endS: pull.hold.endS + byS } }),
    phases: pull.phases.map((span) => ({ ...span, startS: span.startS + byS, endS: span.endS + byS })),
  };
}

/** The part of a truth that lies in a window of time: what is told of the rest is left out. */
export function clipPull<P extends PullTruth>(pull: P, fromS: number, toS: number): P {
  const inside = ({ timeS }: ForceFall): boolean => timeS >= fromS && timeS <= toS;
  return {
    ...pull,
    slips: pull.slips.filter(inside),
    strandBreaks: pull.strandBreaks.filter(inside),
    restrokes: pull.restrokes.filter(inside),
    phases: pull.phases.flatMap((span): PhaseSpan[] =>
      span.endS <= fromS || span.startS >= toS
        ? []
        : [{ ...span, startS: Math.max(fromS, span.startS), endS: Math.min(toS, span.endS) }],
    ),
  };
}

/** Every moment of a pull at which something happens. */
export function eventsOf(pull: PullTruth): number[] {
  return [
    pull.startS,
    pull.endS,
    pull.peakTimeS,
    pull.endingTimeS,
    ...[...pull.slips, ...pull.strandBreaks, ...pull.restrokes].map(({ timeS }) => timeS),
    ...pull.phases.flatMap(({ startS, endS }) => [startS, endS]),
  ];
}
