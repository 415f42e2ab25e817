/**
 * Recording in, reading out: which dialect a logger's file is written in, its samples, and the pulls in them.
 *
 * @example
 * const proposal = proposeLayout(bytes.subarray(0, layoutHeadBytes), { totalBytes: bytes.length });
 * const layout = proposal.ok ? completeLayout(proposal.value.layout, { forceUnit: "kN" }) : proposal;
 * const read = layout.ok ? readRecording(bytes, layout.value) : layout;
 * if (read.ok) read.value.reading.pulls[0]?.peakN;
 */
export * from "./calibration.ts";
export { type CellFit, fitCell } from "./cell-fit.ts";
export { completeLayout } from "./complete-layout.ts";
export * from "./layout.ts";
export { layoutHeadBytes, maxColumns, maxLineBytes, maxRecordingBytes } from "./limits.ts";
export { type LayoutMatch, matchLayout, type SavedLayout } from "./match-layout.ts";
export {
  createRecordingParser,
  type ParsedRecording,
  type ParseOptions,
  parseRecording,
  type RecordingParser,
} from "./parse-recording.ts";
export {
  createPlainPartReader,
  isReadInParts,
  type PlainPart,
  type PlainPartReader,
} from "./plain-part.ts";
export { type ProposeOptions, proposeLayout } from "./propose-layout.ts";
export { readParsed, readRecording } from "./read-recording.ts";
export { readTrace } from "./read-trace.ts";
export * from "./reading.ts";
export * from "./reading-parts.ts";
export * from "./simulate/mod.ts";
export { traceWindow } from "./window.ts";
export { windowFromBytes, windowToBytes } from "./window-bytes.ts";
