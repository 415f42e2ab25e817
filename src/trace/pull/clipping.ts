import { rowOf, type Samples } from "../samples/samples.ts";
import type { Load } from "./loads.ts";
import type { Surroundings } from "./pull-rest.ts";

/** A flat top is more than this many equal samples, and this many times as long as the force stood elsewhere. */
const fewestEqual = 3;
const longerThan = 3;
/** With steps of this part of the top a load that stands still settles within one of them. */
const hidesAStop = 0.003;
/** Then, where the force leaves its top slowly, that top must be longer still to be a limit's. */
const longerThanAStop = 20;
/** How the force stood before is looked at from this part of the top on: a stroke or more of a hand pump. */
const lookedAtFrom = 0.7;

/**
 * Rule R-CLIP: whether a top was cut off at the cell's limit. Then the highest value stands in sample after sample, three
 * times as long as the force stood at any one value on its way there and at the steps just below it afterwards. Where
 * steps are coarse and the force was let off slowly, twenty times: it may only have stood still.
 */
export function isClipped(samples: Samples, load: Load, { sampling }: Surroundings): boolean {
  const { force } = samples;
  const { peak: top, peakIndex } = load;
  const end = Math.min(load.to + 1, force.length);
  const flat = longestFlat(samples, peakIndex, end, (value) => value === top);
  if (flat <= fewestEqual) return false;
  const step = Math.max(sampling.stepN, 1e-9 * Math.abs(top));
  let last = peakIndex;
  for (let at = peakIndex; at < end; at++) if (force[at] === top) last = at;
  let gone = last + 1;
  while (gone < end && (force[gone] as number) > top - 3.5 * step) gone++;
  const leaves = longestFlat(samples, last + 1, gone, () => true);
  const slowly = gone < end && gone > last + 1;
  let from = peakIndex;
  while (from > load.from && (force[from - 1] as number) > lookedAtFrom * top) from--;
  const stood = Math.max(
    1,
    leaves,
    longestFlat(samples, from, peakIndex, () => true),
  );
  // Noise wider than a step never gives one value so often.
  const quiet = sampling.noiseN < 0.5 * step;
  if (flat < fewestEqual + longerThan * stood * (quiet ? 1 : 0.5)) return false;
  return !(slowly && quiet && step > hidesAStop * top) || flat >= longerThanAStop * Math.max(1, leaves);
}

/** The longest run of one value among some samples, in rows: a missing value between two equal ones belongs to it. */
function longestFlat(samples: Samples, from: number, to: number, counts: (value: number) => boolean): number {
  const { force } = samples;
  let longest = 0;
  let start = from;
  for (let at = from; at < to; at++) {
    if (force[at] !== force[start]) start = at;
    if (counts(force[at] as number))
      longest = Math.max(longest, rowOf(samples, at) - rowOf(samples, start) + 1);
  }
  return longest;
}
