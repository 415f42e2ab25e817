import { ok, type Result, refuse } from "../problem/mod.ts";
import type { ReadingContext } from "./calibration.ts";
import type { Layout } from "./layout.ts";
import { readTrace } from "./read-trace.ts";
import type { Reading, Trace } from "./reading.ts";
import { columnsReadHere } from "./text/growing.ts";
import { type ParsedRecording, parseRecording } from "./text/parse-recording.ts";

/**
 * Parses a recording and reads its pulls. Refused with every row's problem where a row cannot be read: a recording is
 * taken in whole or not at all.
 *
 * @example
 * const read = readRecording(bytes, layout);
 * if (read.ok) read.value.reading.pulls[0]?.peakN;
 */
export function readRecording(
  bytes: Uint8Array | Iterable<Uint8Array>,
  layout: Layout,
  context: ReadingContext = {},
): Result<{ readonly trace: Trace; readonly reading: Reading }> {
  return readParsed(parseRecording(bytes, layout, { memory: columnsReadHere() }), layout, context);
}

/** The same for a recording that was parsed piece by piece. */
export function readParsed(
  parsed: Result<ParsedRecording>,
  layout: Layout,
  context: ReadingContext = {},
): Result<{ readonly trace: Trace; readonly reading: Reading }> {
  if (!parsed.ok) return parsed;
  const { trace, problems } = parsed.value;
  const [first, ...others] = problems;
  if (first !== undefined) return refuse(first, ...others);
  const reading = readTrace(trace, { layout, warnings: parsed.warnings, context });
  return ok({ trace, reading }, reading.warnings);
}
