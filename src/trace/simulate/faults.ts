/** What can be wrong with a recording that was drawn, and by which of the reading's codes it should be told. */
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

type Telling = {
  /** Any of these tells it. */
  readonly codes: readonly string[];
  /** What a reader may say besides, because the one fault looks like the other as well. */
  readonly looksLike?: readonly FaultKind[];
};

/**
 * How each fault is told: the codes of src/problem/codes.ts, of which one is enough. An inverted sign is also told by
 * the layout that was proposed, a position by a refusal.
 */
export const faultTelling: Readonly<Record<FaultKind, Telling>> = {
  spikes: { codes: ["READING_SPIKES", "READING_LONE_PEAK"] },
  missing: { codes: ["READING_MISSING"] },
  "missing-near-peak": { codes: ["READING_MISSING_NEAR_PEAK"] },
  "clock-gap": { codes: ["READING_CLOCK_GAP"] },
  "clock-repeated": {
    codes: ["READING_CLOCK_REPEATED"],
    looksLike: ["clock-batched", "clock-jitter", "clock-gap"],
  },
  "clock-batched": {
    codes: ["READING_CLOCK_BATCHED", "READING_CLOCK_REPEATED"],
    looksLike: ["clock-repeated", "clock-jitter", "clock-gap"],
  },
  "clock-backward": { codes: ["TRACE_TIME_BACKWARD"], looksLike: ["clock-jitter", "clock-gap"] },
  "clock-jitter": { codes: ["READING_CLOCK_JITTER"] },
  clipped: { codes: ["READING_CLIPPED"] },
  inverted: { codes: ["READING_INVERTED"] },
  offset: { codes: ["READING_OFFSET"] },
  drift: { codes: ["READING_REST_MOVED"] },
  "starts-loaded": { codes: ["READING_STARTS_LOADED"] },
  "ends-early": { codes: ["READING_ENDS_LOADED", "READING_PEAK_LAST"] },
  position: { codes: ["READING_LOOKS_LIKE_POSITION", "TRACE_FORCE_STRAIGHT"] },
  "coarse-steps": { codes: ["READING_COARSE_STEPS"] },
  "unit-label": { codes: ["READING_ABOVE_CAPACITY"] },
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
