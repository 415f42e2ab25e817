/**
 * The bench simulator: recordings of pulls that never were, made from a seed, with the truth about each. For the demo
 * series, and for testing the reading of recordings against a known truth.
 */
export { type DialectColumn, type LoggerDialect, layoutOf, loggerDialects } from "./dialect.ts";
export { type DrawnRecording, drawRecording } from "./draw-recording.ts";
export { type Fault, type FaultKind, faultKinds } from "./faults.ts";
export type { DrawnPull, LoggerTruth, RecordingTruth } from "./recording-truth.ts";
export { type SimulatedPull, simulatePull } from "./simulate-pull.ts";
export { type SimulatedRecording, simulateRecording } from "./simulate-recording.ts";
export type { DriveSpec, LoggerSpec, PullSpec, RecordingSpec, Restroke, SpecimenSpec } from "./spec.ts";
export {
  type ForceFall,
  type HoldTruth,
  type PhaseSpan,
  type PullEnding,
  type PullTruth,
  pullEndings,
  type TruthPhase,
} from "./truth.ts";
export { writeRecording } from "./write-recording.ts";
