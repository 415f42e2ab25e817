/**
 * What a bench was doing, as far as a recording shows it; docs/reading.md says what exactly each is (rules R-PHASE-...).
 * "rest" before the load, "bedding" cycles, the "set" or preload that is put on, the "hold" at it, a "ramp" up (with its
 * pump strokes), "slip" while saw-teeth follow one another, the "collapse", the "tail" after it.
 */
export const phaseNames = ["rest", "bedding", "set", "hold", "ramp", "slip", "collapse", "tail"] as const;
export type PhaseName = (typeof phaseNames)[number];

/** One stretch of a pull. Rows count from 1; times as the file counts them, absent where it has none. */
export type Phase = {
  readonly name: PhaseName;
  readonly fromRow: number;
  readonly toRow: number;
  readonly fromS?: number;
  readonly toS?: number;
};

/** A slip from which the splice gripped again: where it began, how far the force fell. */
export type Slip = {
  readonly row: number;
  readonly timeS?: number;
  readonly fromN: number;
  readonly toN: number;
};

/** A value with its 95 % interval. */
export type WithInterval = { readonly value: number; readonly interval: readonly [number, number] };

/**
 * How force settled at a hold. `perDecade` is the part of the force at its start that is lost in each tenfold of time,
 * F(t) = F1 [1 − r log10(1 + t/t1)]; `exponent` is n of the power law F(t) = F1 (1 + t/t1)^−n.
 */
export type Settling = {
  readonly perDecade: WithInterval;
  readonly perDecadeAicc: number;
  readonly exponent: WithInterval;
  readonly exponentAicc: number;
  readonly preferred: "log-time" | "power law" | "neither";
};

/** A hold: force at its start and end (net of rest where that is known), how long, and how it settled. */
export type Hold = {
  readonly fromRow: number;
  readonly toRow: number;
  readonly fromS?: number;
  readonly toS?: number;
  readonly startN: number;
  readonly endN: number;
  /** Absent with fewer than 12 samples, and where the steps of the converter are too coarse to show it. */
  readonly settling?: Settling;
};

/** The bedding cycles before a pull. */
export type Bedding = { readonly cycles: number; readonly lowestN: number; readonly highestN: number };

/** One part of an uncertainty budget, as standard uncertainty in newtons. */
export type UncertaintyPart = {
  readonly name: "calibration" | "resolution" | "noise" | "between samples" | "rest" | "drift";
  readonly standardN: number;
  /** What it rests on, in a few words. */
  readonly basis: string;
};

/**
 * The net peak as best known, by the GUM: the highest sample less the rest, corrected for the upward bias of a maximum
 * of noisy samples and for a peak that fell between two samples.
 */
export type PeakEstimate = {
  readonly valueN: number;
  readonly standardN: number;
  /** k = 2. */
  readonly expandedN: number;
  readonly parts: readonly UncertaintyPart[];
  /** True where the cell was clipped or the record ends on its peak: the peak was at least this. */
  readonly lowerBound: boolean;
};

/** What speaks for broke, slipped or stopped. The person's word is final; this stands beside it. */
export type OutcomeEvidence = {
  readonly probabilities: { readonly broke: number; readonly slipped: number; readonly stopped: number };
  readonly likeliest: "broke" | "slipped" | "stopped";
  /** In words, such as "The force fell from 31.2 kN to 0.4 kN within two samples." */
  readonly reasons: readonly string[];
};

/** The parts of a reading beyond peak, rest and rate; each is absent where the record does not show it. */
export type DeepReading = {
  readonly phases: readonly Phase[];
  readonly bedding?: Bedding;
  readonly hold?: Hold;
  /** Strokes of a hand pump on the last ramp; 0 for a steady drive. */
  readonly strokes: number;
  readonly slips: readonly Slip[];
  readonly firstSlipN?: number;
  readonly timeToPeakS?: number;
  /** From 90 % to 10 % of the force from which it collapsed. */
  readonly collapseS?: number;
  /** Force left after the collapse, net of rest: a strand that held on. */
  readonly residualN?: number;
  readonly stiffnessNPerM?: number;
  readonly energyToPeakJ?: number;
  readonly peak?: PeakEstimate;
  readonly outcome?: OutcomeEvidence;
};
