import { refitSlipOrBreak, type SlipOrBreakPlan, type SlipOrBreakRefits } from "../../findings/mod.ts";
import { ok, type Result } from "../../problem/mod.ts";
import {
  type Layout,
  type PullReading,
  parseRecording,
  type Reading,
  type ReadingContext,
  readRecording,
  type Trace,
} from "../../trace/mod.ts";
import type { BundleOnDisk } from "../contract.ts";
import type { BundleWork } from "../pack-bundle.ts";
import { type Rows, readStretch } from "../read-stretch.ts";

/** What is asked of the reading thread; the same is answered in the caller's thread for small files. */
export type ReadTask = {
  readonly bytes: readonly Uint8Array[];
  readonly layout: Layout;
} & (
  | { readonly what: "reading"; readonly context?: ReadingContext }
  | {
      readonly what: "stretch";
      readonly stretch: Rows;
      readonly within: Rows;
      readonly context?: ReadingContext;
    }
  | { readonly what: "trace" }
);

/** Reads a recording's pulls, one stretch of it as a pull, or its samples alone. */
export function answerTask(task: ReadTask): Result<Reading | PullReading | Trace> {
  const { bytes, layout } = task;
  if (task.what === "reading") {
    const read = readRecording(bytes, layout, task.context);
    return read.ok ? ok(read.value.reading, read.warnings) : read;
  }
  // Rows that cannot be read were refused when the recording was taken in.
  const parsed = parseRecording(bytes, layout);
  if (!parsed.ok) return parsed;
  const { trace } = parsed.value;
  return task.what === "trace" ? ok(trace, parsed.warnings) : readStretch(trace, { ...task, layout });
}

/** A stretch of slip-or-break's refits, asked of a thread of the same kind. */
export type RefitTask = {
  readonly what: "refits";
  readonly plan: SlipOrBreakPlan;
  readonly from: number;
  readonly to: number;
};

/** A bundle to be packed, read or verified, likewise. */
export type BundleTask =
  | { readonly what: "pack bundle"; readonly work: BundleWork }
  | { readonly what: "read bundle"; readonly bytes: Uint8Array }
  | { readonly what: "verify bundle"; readonly file: BundleOnDisk };

/** A calculation of the registry, likewise. */
export type CalculationTask = {
  readonly what: "calculation";
  readonly name: string;
  readonly input: unknown;
};

/** So many refits take some ten milliseconds: often enough to show progress, and to be stopped. */
const blockSize = 100;

/** Does a stretch of refits block by block; each is yielded when it is done. */
export function* refitBlocks({
  plan,
  from,
  to,
}: RefitTask): Generator<{ readonly part: SlipOrBreakRefits; readonly refits: number }> {
  for (let at = from; at < to; at += blockSize) {
    const end = Math.min(at + blockSize, to);
    yield { part: refitSlipOrBreak(plan, at, end), refits: end - at };
  }
}
