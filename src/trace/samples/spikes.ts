import { valuesAtParts } from "./middle.ts";
import type { Samples } from "./samples.ts";
import { rowOf } from "./samples.ts";
import { type Neighbours, walk } from "./walk.ts";

/** More than this part of all samples are no isolated spikes but the signal itself. */
const mostSpikes = 0.01;
/** Samples on either side that a spike must stand clear of. */
const neighbours = 3;

/**
 * Rule R-SPIKE. The samples, from 0, that stand alone: clear of both neighbours on the same side by at least
 * max(12 noises, 3.5 steps, 1.5 % of the record's span), and by three times what the samples beside it move among
 * themselves. They are flagged and left out of every figure; the data keep them.
 */
export function findSpikes(
  force: Float64Array,
  { noiseN, stepN }: { readonly noiseN: number; readonly stepN: number },
): number[] {
  const count = force.length;
  if (count < 2 * neighbours + 2) return [];
  const [low, high] = valuesAtParts(force, 0.005, 0.995);
  const least = Math.max(12 * noiseN, 3.5 * stepN, 0.015 * (high - low));
  if (!(least > 0)) return [];
  const spikes: number[] = [];
  // Where forces lie closer together than a spike stands clear there is none: hardly any sample gets past this.
  const holdNone = ({ low, high, from }: Neighbours) => {
    const before = force[from - 1] as number;
    return Math.max(high, before) - Math.min(low, before) < least;
  };
  walk(force, { from: 2, to: count - 2 }, holdNone, (at) => {
    const value = force[at] as number;
    const left = value - (force[at - 1] as number);
    if (left < least && left > -least) return;
    const right = value - (force[at + 1] as number);
    if (left * right <= 0) return;
    const clear = Math.min(Math.abs(left), Math.abs(right));
    if (clear >= least && clear >= 3 * unrestAbout(force, at)) spikes.push(at);
  });
  return spikes.length > Math.max(20, mostSpikes * count) ? [] : spikes;
}

/** The largest step from sample to sample beside one, that one left out. */
function unrestAbout(force: Float64Array, at: number): number {
  let unrest = Math.abs((force[at + 1] as number) - (force[at - 1] as number)) / 2;
  for (let away = 1; away < neighbours; away++) {
    const before = Math.abs(
      (force[at - away] as number) - (force[at - away - 1] ?? (force[at - away] as number)),
    );
    const after = Math.abs(
      (force[at + away] as number) - (force[at + away + 1] ?? (force[at + away] as number)),
    );
    unrest = Math.max(unrest, before, after);
  }
  return unrest;
}

/** The samples without those at the given places. */
export function withoutSamples(samples: Samples, left: readonly number[]): Samples {
  if (left.length === 0) return samples;
  const count = samples.force.length - left.length;
  const force = new Float64Array(count);
  const rows = new Int32Array(count);
  let next = 0;
  let kept = 0;
  for (let at = 0; at < samples.force.length; at++) {
    if (at === left[next]) {
      next++;
      continue;
    }
    force[kept] = samples.force[at] as number;
    rows[kept++] = rowOf(samples, at);
  }
  return { ...samples, force, rows };
}
