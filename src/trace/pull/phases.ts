import { named } from "../named.ts";
import type { Phase, PhaseName } from "../reading-parts.ts";
import { rowOf, timeOf } from "../samples/samples.ts";
import type { Signal } from "../samples/signal.ts";
import type { HoldSpan } from "./holds.ts";

/** Where one phase of a pull ends and the next begins, in samples from 0. */
export type PhaseMarks = {
  readonly from: number;
  readonly restFrom?: number;
  readonly restTo?: number;
  readonly beddingEnd?: number;
  readonly holds: readonly HoldSpan[];
  readonly slipFrom?: number;
  readonly slipTo?: number;
  /** The last sample before the force went for good, or the record's last. */
  readonly top: number;
  /** Absent where nothing failed, or where the record stops before. */
  readonly collapseTo?: number;
  readonly to: number;
};

/** Rule R-PHASE: the phases of a pull in the order in which they came, each beginning where the one before it ends. */
export function layOutPhases({ samples }: Signal, marks: PhaseMarks): Phase[] {
  const phases: Phase[] = [];
  let at = marks.restFrom ?? marks.from;
  const upTo = (name: PhaseName, to: number) => {
    if (to <= at) return;
    const fromS = timeOf(samples, at);
    const toS = timeOf(samples, to);
    phases.push({
      name,
      fromRow: rowOf(samples, at) + 1,
      toRow: rowOf(samples, to) + 1,
      ...named("fromS", fromS),
      ...named("toS", toS),
    });
    at = to;
  };
  upTo("rest", marks.from);
  if (marks.beddingEnd !== undefined) upTo("bedding", marks.beddingEnd);
  marks.holds.forEach((hold, index) => {
    upTo(index === 0 ? "set" : "ramp", hold.from);
    upTo("hold", hold.to);
  });
  if (marks.slipFrom !== undefined && marks.slipTo !== undefined) {
    upTo("ramp", marks.slipFrom);
    upTo("slip", Math.min(marks.slipTo, marks.top));
  }
  upTo("ramp", marks.top);
  if (marks.collapseTo !== undefined) upTo("collapse", marks.collapseTo);
  upTo("tail", Math.max(marks.to, marks.restTo ?? 0));
  return phases;
}
