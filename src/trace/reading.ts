import type { Warning } from "../problem/mod.ts";
import type { Layout } from "./layout.ts";
import type { DeepReading } from "./reading-parts.ts";

/**
 * The samples of one recording in SI units. A missing force is NaN here and nowhere else; time is absent where the file
 * has none, and then rows are the only abscissa.
 */
export type Trace = {
  readonly forceN: Float64Array;
  readonly timeS?: Float64Array;
  readonly displacementM?: Float64Array;
  /** Segment number of each sample where the layout names a segment column. */
  readonly segment?: Int32Array;
  /** When row 1 was taken, where the file stamps a date: ISO 8601, as far as the file says the zone. */
  readonly startedAt?: string;
  readonly missing: number;
  /** A pull is negative in the file, as the whole record shows, and the sign was turned round here (rule R-SIGN). */
  readonly turned?: boolean;
};

/** The force fell from a running maximum by more than noise: see docs/reading.md, rule R-DROP. */
export type Drop = {
  /** Row and time of the maximum from which the force fell. */
  readonly row: number;
  readonly timeS?: number;
  readonly fromN: number;
  readonly toN: number;
};

/** What the record shows after the peak: a fast collapse, a slow decline, or that the record stops first. */
export type PullEnd = "collapse" | "decline" | "cut-off";

/** One pull as it was read. Times are seconds as the file counts them, rows count from 1; absent means not known. */
export type PullReading = {
  /** Which pull of the recording, from 1. */
  readonly index: number;
  readonly startRow: number;
  readonly endRow: number;
  readonly startS?: number;
  readonly endS?: number;
  /** The highest force as recorded, with the offset of the cell still in it; isolated spikes are left out. */
  readonly peakN: number;
  readonly peakRow: number;
  readonly peakTimeS?: number;
  /** What was taken as zero; absent, with a warning, where the file shows no rest. */
  readonly restN?: number;
  /** peakN − restN, corrected by the cell's certificate where that is known. */
  readonly netPeakN?: number;
  readonly loadingRateNPerS?: number;
  readonly loadingRateFromS?: number;
  readonly loadingRateToS?: number;
  /** The biggest drops in the order of the record; the last one is the end where the force collapsed. */
  readonly drops: readonly Drop[];
  /** How many drops there were, where more than are listed. */
  readonly dropCount?: number;
  readonly end: PullEnd;
  /** The last maximum before the force collapsed for good: not the peak where the pull had gone on after it. */
  readonly collapse?: Drop;
  readonly noiseN: number;
  /** Phases, slips, hold, the peak with its uncertainty, what speaks for which end; from method version 2 on. */
  readonly deep?: DeepReading;
  readonly warnings: readonly Warning[];
};

/** A load that is no pull: a set-up tug, handling after the break. */
export type OtherLoad = {
  readonly startRow: number;
  readonly endRow: number;
  readonly startS?: number;
  readonly endS?: number;
  readonly peakN: number;
};

/** What was read out of one recording. */
export type Reading = {
  readonly method: { readonly name: "reading"; readonly version: string };
  readonly layout: Layout;
  readonly rows: number;
  readonly missing: number;
  /** Whether forces are read with the sign that they have in the file, or turned round; from method version 3 on. */
  readonly sign?: "as in the file" | "turned round";
  readonly durationS?: number;
  /** Median interval between samples. */
  readonly intervalS?: number;
  readonly startedAt?: string;
  readonly pulls: readonly PullReading[];
  readonly otherLoads: readonly OtherLoad[];
  readonly warnings: readonly Warning[];
};

/** The extremes of the samples in each of a number of equal spans: what a picture of the trace needs. */
export type TraceWindow = {
  readonly fromRow: number;
  readonly toRow: number;
  /** Abscissa of each span's start: seconds, or rows where the recording has no time. */
  readonly x: readonly number[];
  readonly lowN: readonly (number | null)[];
  readonly highN: readonly (number | null)[];
  readonly xIsTime: boolean;
};
