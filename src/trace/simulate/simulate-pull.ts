import { ok, type Result } from "../../problem/mod.ts";
import type { Layout } from "../layout.ts";
import { type LoggerDialect, layoutOf, loggerDialects } from "./dialect.ts";
import { type SimulatedRecording, simulateRecording } from "./simulate-recording.ts";
import type { LoggerSpec, PullSpec } from "./spec.ts";
import type { PullTruth } from "./truth.ts";
import { writeRecording } from "./write-recording.ts";

/** A simulated logger's file of one pull: its bytes, how they are read, the samples in SI units, and the truth. */
export type SimulatedPull = {
  readonly bytes: Uint8Array;
  readonly layout: Layout;
  readonly samples: SimulatedRecording;
  readonly truth: PullTruth;
};

/**
 * One pull, as a logger's file with the truth about it. The same spec and seed give the same bytes.
 * Refused where the spec asks for what no bench could do; the model is told at `simulateRecording`.
 *
 * @param spec what is pulled and how, which logger takes it down, in which dialect (left out: the plain one) and from
 * which moment on (left out: the start of 2026).
 *
 * @example
 * const answer = simulatePull({
 *   pull: {
 *     specimen: { breakN: 20_000, stiffnessNPerM: 500_000, toeM: 0.02, slackM: 0.01 },
 *     drive: { kind: "steady", speedMPerS: 0.003 },
 *     restS: 2,
 *     tailS: 3,
 *   },
 *   logger: { rateHz: 100, jitterS: 0, capacityN: 50_000, bits: 24, noiseN: 5, offsetN: 30, driftNPerMinute: 0 },
 * }, 1);
 * answer.ok && answer.value.truth.outcome // "broke"
 */
export function simulatePull(
  spec: {
    readonly pull: PullSpec;
    readonly logger: LoggerSpec;
    readonly dialect?: LoggerDialect;
    readonly startedAt?: string;
  },
  seed: number,
): Result<SimulatedPull> {
  const recorded = simulateRecording({ pulls: [spec.pull], logger: spec.logger }, seed);
  if (!recorded.ok) return recorded;
  const samples = recorded.value;
  const dialect = spec.dialect ?? loggerDialects.plain;
  return ok({
    bytes: writeRecording(samples, dialect, spec.startedAt ?? "2026-01-01T00:00:00Z"),
    layout: layoutOf(dialect),
    samples,
    truth: samples.truth[0] as PullTruth, // one pull was asked for
  });
}
