import { type Result, refuse } from "../../problem/mod.ts";
import type { Trace } from "../../trace/mod.ts";
import type { Effects } from "../contract.ts";
import type { TraceCache } from "./trace-cache.ts";
import { notFound } from "./transact.ts";

/** The samples of a recording by the layout that it has in the book, parsed where they are not at hand. */
export function traceOf(
  { store, parseRecording }: Effects,
  traces: TraceCache,
  sha256: string,
): Promise<Result<Trace>> {
  return traces.get(sha256, async () => {
    const recording = await store.read.getRecording(sha256);
    const bytes = await store.read.recordingBytes(sha256);
    if (recording === undefined || bytes === undefined) return refuse(notFound("recording", sha256));
    return parseRecording([bytes], recording.layout);
  });
}
