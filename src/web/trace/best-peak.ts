import type { PullReading } from "../../trace/mod.ts";

/**
 * The peak of a pull as best known: corrected and less the rest level where the reading says so, else the highest sample
 * less the rest level, else that sample.
 *
 * @example
 * bestPeakN({ ...reading, netPeakN: 52_000 }) // 52_000, or what a deeper reading knows better
 */
export function bestPeakN({ deep, netPeakN, peakN }: PullReading): number {
  return deep?.peak?.valueN ?? netPeakN ?? peakN;
}
