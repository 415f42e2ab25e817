import { ok, type Result } from "../../problem/mod.ts";
import { type Layout, parseRecording, type Reading, readRecording, type Trace } from "../../trace/mod.ts";

/** What is asked of the reading thread; the same is answered in the caller's thread for small files. */
export type ReadTask = {
  readonly what: "reading" | "trace";
  readonly bytes: readonly Uint8Array[];
  readonly layout: Layout;
};

/** Reads a recording's pulls, or its samples alone. */
export function answerTask({ what, bytes, layout }: ReadTask): Result<Reading | Trace> {
  if (what === "reading") {
    const read = readRecording(bytes, layout);
    return read.ok ? ok(read.value.reading, read.warnings) : read;
  }
  // Rows that cannot be read were refused when the recording was taken in.
  const parsed = parseRecording(bytes, layout);
  return parsed.ok ? ok(parsed.value.trace, parsed.warnings) : parsed;
}
