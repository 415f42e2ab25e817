import type { ProblemCode } from "../../src/problem/mod.ts";
import type { FaultKind } from "../../src/trace/mod.ts";

type Telling = {
  /** Any of these tells it. */
  readonly codes: readonly ProblemCode[];
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
