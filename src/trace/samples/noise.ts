import { toDistances } from "../kernel/derived-values.ts";
import { bendsIn, stepsIn } from "./middle.ts";
import { medianInPlace } from "./select.ts";

/** A normal variable's standard deviation is this many of its median absolute deviations: 1 / Φ⁻¹(3/4). */
const sigmaPerMad = 1.4826;

/**
 * How much the force scatters from sample to sample, in the unit of the values: 1.4826 times the median absolute
 * deviation of the first differences from their median, over √2 (a difference holds two samples' noise). A ramp moves
 * the median and not the deviation; breaks and slips are too few to move either. Of more than 65,536 differences so many
 * are looked at (middle.ts). 0 for fewer than 3 samples.
 *
 * @example
 * noiseOf(Float64Array.of(1, 2, 3, 4)) // 0: an even ramp has no noise
 */
export function noiseOf(force: Float64Array): number {
  if (force.length < 3) return 0;
  const steps = stepsIn(force);
  return (sigmaPerMad * medianInPlace(toDistances(steps, medianInPlace(steps)))) / Math.SQRT2;
}

/**
 * The same from second differences, over √6: blind to a steady slope, so that a short record that only rises and falls
 * does not look noisy. It says how wide a rest may be, and is not published.
 */
export function rippleOf(force: Float64Array): number {
  if (force.length < 4) return 0;
  return (sigmaPerMad * medianInPlace(bendsIn(force))) / Math.sqrt(6);
}
