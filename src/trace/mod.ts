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
export * from "./layout.ts";
export { layoutHeadBytes, maxColumns, maxLineBytes, maxRecordingBytes } from "./limits.ts";
export { completeLayout } from "./propose/complete-layout.ts";
export { type LayoutMatch, matchLayout, type SavedLayout } from "./propose/match-layout.ts";
export { type ProposeOptions, proposeLayout } from "./propose/propose-layout.ts";
export { type CellFit, fitCell } from "./pull/cell-fit.ts";
export { readParsed, readRecording } from "./read-recording.ts";
export { readTrace } from "./read-trace.ts";
export * from "./reading.ts";
export * from "./reading-parts.ts";
export {
  type Outline,
  outlineFromBytes,
  outlineOf,
  outlineToBytes,
  outlineWindow,
} from "./samples/outline.ts";
export { traceWindow } from "./samples/window.ts";
export { windowFromBytes, windowToBytes } from "./samples/window-bytes.ts";
export * from "./simulate/mod.ts";
export { isReadByNumbers, type NumberRows, type RowShape } from "./text/number-rows.ts";
export {
  createRecordingParser,
  type ParsedRecording,
  type ParseOptions,
  parseRecording,
  type RecordingParser,
} from "./text/parse-recording.ts";
export {
  createPlainPartReader,
  isReadInParts,
  type PlainPart,
  type PlainPartReader,
} from "./text/plain-part.ts";
