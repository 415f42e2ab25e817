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
  readonly revision?: { readonly number: number; readonly publishedAt: string };
  readonly program: { readonly name: "Bitter End"; readonly version: string };
};
