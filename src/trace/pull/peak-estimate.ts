import type { PeakEstimate, UncertaintyPart } from "../reading-parts.ts";
import type { Signal } from "../samples/signal.ts";
import { applied, type CellFit } from "./cell-fit.ts";
import { highestTop } from "./highest-top.ts";
import { type Zero, zeroAt } from "./zero.ts";

/** What the peak's estimate needs to know of its pull. */
export type PeakFacts = {
  readonly peakIndex: number;
  readonly netN: number;
  readonly cutOff: boolean;
  readonly clipped: boolean;
  readonly zero: Zero;
  /** Absent where the file shows no rest: then there is no net force. */
  readonly hasRest: boolean;
  readonly cell?: CellFit;
};

/** Drift between two rests is not straight; this part of it is the standard uncertainty of the line between them. */
const driftPart = 0.12;

/**
 * Rule R-UNCERTAINTY: the net peak by the GUM. The top (R-TOP) less the rest at its moment, with the standard uncertainties
 * of what went into it, each times what it is worth in applied force (the sensitivity of GUM 5.1.3), combined as the root
 * of their squares and expanded by k = 2 (GUM 5.1.2 and 6.2.1). It is a lower bound where the cell was clipped or the
 * record ends before the fall.
 */
export function estimatePeak(
  signal: Signal,
  facts: PeakFacts,
  { from, to, tops }: { from: number; to: number; tops: readonly number[] },
): PeakEstimate | undefined {
  const { peakIndex, netN, cutOff, clipped, zero, hasRest, cell } = facts;
  if (!hasRest) return undefined;
  const { stepN } = signal.sampling;
  const shape = clipped
    ? {
        valueN: signal.force[peakIndex] as number,
        noiseN: 0,
        betweenN: 0,
        basis: "last sample" as const,
      }
    : highestTop(signal, peakIndex, tops, { from, to, netN });
  const rawN = shape.valueN - zeroAt(signal, zero, peakIndex);
  const worth = Math.abs(cell?.slopeAt(rawN) ?? 1);
  const indicated: UncertaintyPart[] = [
    {
      name: "resolution",
      standardN: stepN / Math.sqrt(12),
      basis: `steps of ${figure(stepN)} N, rectangular`,
    },
    {
      name: "noise",
      standardN: shape.noiseN,
      basis: clipped
        ? "flat top: the cell's limit"
        : `${figure(signal.sampling.noiseN)} N a sample, over the samples about the peak`,
    },
    {
      name: "between samples",
      standardN: shape.betweenN,
      basis: clipped ? "not known beyond the limit" : betweenWords[shape.basis],
    },
    { name: "rest", standardN: zero.errorN, basis: "noise and steps of the rest" },
    {
      name: "drift",
      standardN: driftPart * Math.abs(zero.change),
      basis: `rests ${figure(Math.abs(zero.change))} N apart, a straight line between them`,
    },
  ];
  const parts: UncertaintyPart[] = [
    ...(cell === undefined
      ? []
      : [{ name: "calibration" as const, standardN: cell.uncertaintyAt(rawN), basis: cell.basis }]),
    ...indicated.map((part) => ({ ...part, standardN: worth * part.standardN })),
  ];
  const standardN = Math.hypot(...parts.map((part) => part.standardN));
  return {
    valueN: applied(cell, rawN),
    standardN,
    expandedN: 2 * standardN,
    parts,
    lowerBound: clipped || cutOff,
  };
}

const betweenWords = {
  "rise to a sudden fall": "the rate of rise over the gap to the next sample, rectangular",
  corner: "where the lines before and after it meet",
  "last sample": "the record ends here",
} as const;

function figure(value: number): string {
  return String(Number(value.toPrecision(3)));
}
