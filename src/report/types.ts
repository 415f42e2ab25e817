import type { SeriesFindings, SeriesSlipOrBreak } from "../findings/mod.ts";
import type { BenchFields, HardwareFields, LoadCellFields, SeriesFields } from "../series/mod.ts";
import type { RecipeFields, RopeFields } from "../splice/mod.ts";
import type { PullReading, TraceWindow } from "../trace/mod.ts";

/** What the report says of a pull beside its judgement: the person's words, and where its figures come from. */
export type PullDetails = {
  readonly notes?: string;
  readonly operator?: string;
  readonly pulledAt?: string;
  readonly benchName?: string;
  readonly recordingSha256?: string;
  /** Which pull of the recording, from 1. */
  readonly recordingPull?: number;
};

/** One revision of a report: its number and date, why it was published, what it changed, and whether it was withdrawn. */
export type ReportRevision = {
  readonly number: number;
  readonly publishedAt: string;
  /** SHA-256 of the frozen content; absent where the revision was published before contents were frozen. */
  readonly contentSha256?: string;
  readonly note?: string;
  /** What changed since the revision before, a sentence each. */
  readonly changes?: readonly string[];
  readonly withdrawn?: { readonly at: string; readonly reason: string };
};

/** Everything that one report shows, gathered from the book; the report asks for nothing more. */
export type ReportInput = {
  readonly series: SeriesFields & { readonly id: string };
  readonly findings: SeriesFindings;
  /** Where the plan varies the bury, and pulls have what that asks for. */
  readonly slipOrBreak?: SeriesSlipOrBreak;
  readonly ropes: readonly RopeFields[];
  readonly recipes: readonly RecipeFields[];
  readonly benches: readonly (BenchFields & {
    readonly loadCell?: LoadCellFields;
    readonly near?: HardwareFields;
    readonly far?: HardwareFields;
  })[];
  /** A force-time curve for each pull that has one, by pull id, already thinned. */
  readonly traces: Readonly<Record<string, TraceWindow>>;
  /** What was read of each pull that has a recording, by pull id: it marks peak, drops and ends on the curves. */
  readonly readings?: Readonly<Record<string, PullReading>>;
  /** By pull id. */
  readonly pullDetails?: Readonly<Record<string, PullDetails>>;
  readonly recordings: readonly {
    readonly fileName: string;
    readonly sha256: string;
    readonly sizeBytes: number;
  }[];
  /** Photographs as data: URLs. */
  readonly pictures: readonly {
    readonly caption: string;
    readonly about: string;
    readonly dataUrl: string;
  }[];
  readonly methodNotes: readonly {
    readonly name: string;
    readonly answers: string;
    readonly formula: string;
    readonly source: string;
  }[];
  /** Absent in a preview. */
  readonly revision?: ReportRevision;
  /** The revisions that were published before. */
  readonly earlier?: readonly ReportRevision[];
  /** Where the series came from, where it was taken in from a bundle. */
  readonly imported?: {
    readonly title: string;
    readonly tester: string;
    readonly revision?: number;
    readonly publishedAt?: string;
    readonly contentSha256: string;
    readonly importedAt: string;
  };
  readonly program: { readonly name: "Bitter End"; readonly version: string };
};
