import type { Load } from "./loads.ts";
import type { Surroundings } from "./pull-rest.ts";
import { rowOf, type Samples } from "./samples.ts";

/** A flat top is at least this many equal samples, and this many times as long as the force stood at any step below. */
const fewestEqual = 3;
const longerThan = 3;

/**
 * Rule R-CLIP: whether a top was cut off at the cell's limit. Then the highest value stands in sample after sample, much
 * longer than the force took for the steps just below, and it is the highest of the record.
 */
export function isClipped(samples: Samples, load: Load, { sampling }: Surroundings): boolean {
  const { force } = samples;
  const top = load.peak;
  let longest = 0;
  let run = 0;
  let lastAt = load.peakIndex;
  for (let at = load.peakIndex; at < Math.min(load.to + 1, force.length); at++) {
    if (force[at] === top) {
      run++;
      lastAt = at;
      longest = Math.max(longest, rowOf(samples, at) - rowOf(samples, at - run + 1) + 1);
    } else run = 0;
  }
  if (longest < fewestEqual || lastAt < 0) return false;
  const step = Math.max(sampling.stepN, 1e-9 * Math.abs(top));
  // Noise wider than a step never gives the same value so often; a quiet cell dwells on each step of a slow ramp.
  let below = load.peakIndex - 1;
  while (below > load.from && (force[below] as number) > top - 3.5 * step) below--;
  const dwell = (load.peakIndex - below) / 3;
  return longest >= fewestEqual + longerThan * Math.max(1, dwell) * (sampling.noiseN < 0.5 * step ? 1 : 0.5);
}
