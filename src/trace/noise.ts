import { medianInPlace } from "./select.ts";

/** A normal variable's standard deviation is this many of its median absolute deviations: 1 / Φ⁻¹(3/4). */
const sigmaPerMad = 1.4826;

/**
 * How much the force scatters from sample to sample, in the unit of the values: 1.4826 times the median absolute
 * deviation of the first differences from their median, over √2 (a difference holds two samples' noise). A ramp moves
 * the median and not the deviation; breaks and slips are too few to move either. 0 for fewer than 3 samples.
 *
 * @example
 * noiseOf(Float64Array.of(1, 2, 3, 4)) // 0: an even ramp has no noise
 */
export function noiseOf(force: Float64Array): number {
  if (force.length < 3) return 0;
  const steps = new Float64Array(force.length - 1);
  for (let index = 0; index < steps.length; index++)
    steps[index] = (force[index + 1] as number) - (force[index] as number);
  const middle = medianInPlace(steps);
  for (let index = 0; index < steps.length; index++)
    steps[index] = Math.abs((steps[index] as number) - middle);
  return (sigmaPerMad * medianInPlace(steps)) / Math.SQRT2;
}

/**
 * The same from second differences, over √6: blind to a steady slope, so that a short record that only rises and falls
 * does not look noisy. It says how wide a rest may be, and is not published.
 */
export function rippleOf(force: Float64Array): number {
  if (force.length < 4) return 0;
  const bends = new Float64Array(force.length - 2);
  for (let index = 0; index < bends.length; index++)
    bends[index] = Math.abs(
      (force[index + 2] as number) - 2 * (force[index + 1] as number) + (force[index] as number),
    );
  return (sigmaPerMad * medianInPlace(bends)) / Math.sqrt(6);
}
