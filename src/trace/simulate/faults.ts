/** What can be wrong with a recording that was drawn. */
export const faultKinds = [
  "spikes",
  "missing",
  "missing-near-peak",
  "clock-gap",
  "clock-repeated",
  "clock-batched",
  "clock-backward",
  "clock-jitter",
  "clipped",
  "inverted",
  "offset",
  "drift",
  "starts-loaded",
  "ends-early",
  "position",
  "coarse-steps",
  "unit-label",
] as const;
export type FaultKind = (typeof faultKinds)[number];

/** One fault of a recording. */
export type Fault = {
  readonly kind: FaultKind;
  /** There, but so small or so much a matter of judgement that a reader may tell it or not. */
  readonly mild?: true;
  /** Rows from 1, where it sits at some; the first hundred of them. */
  readonly rows?: readonly number[];
  /** How much: a part of the net peak for forces, seconds for the clock. */
  readonly size?: number;
};

/** Kinds of which a recording has at most one: a clock has one illness, and some faults leave nothing to see of others. */
export const excludes: Readonly<Partial<Record<FaultKind, readonly FaultKind[]>>> = {
  position: faultKinds,
  "unit-label": faultKinds,
  "clock-gap": ["clock-repeated", "clock-batched", "clock-backward", "clock-jitter"],
  "clock-repeated": ["clock-batched", "clock-backward", "clock-jitter"],
  "clock-batched": ["clock-backward", "clock-jitter"],
  "clock-backward": ["clock-jitter"],
  missing: ["missing-near-peak"],
  "missing-near-peak": ["clipped", "ends-early"],
  clipped: ["spikes", "ends-early"],
  // Without a rest on both sides there is nothing to see a drift or an offset by.
  "starts-loaded": ["drift", "offset", "ends-early"],
  "ends-early": ["drift", "offset"],
};

/** Whether two faults can be told apart in one recording. */
export function goTogether(one: FaultKind, other: FaultKind): boolean {
  return excludes[one]?.includes(other) !== true && excludes[other]?.includes(one) !== true;
}
