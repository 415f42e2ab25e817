import { rippleOf } from "./noise.ts";

/** A record that goes this many times as far down from its rest as up is upside down. */
const downOverUp = 3;
/** And it goes down by this many times what it scatters by, or its step. */
const scattersOfALoad = 20;
/** As many values as this show where a record lies. */
const mostLookedAt = 4001;
const valuesOfAnEnd = 15;
/** Fewer values show no rest at both ends of a pull. */
export const fewestOfARecord = 20;

/** From where to where a record goes that was wired or written upside down. */
export type UpsideDown = { readonly lowest: number; readonly highest: number };

/**
 * Rule R-SIGN: whether a pull is negative in a record. No force is what the record shows at one of its ends, whichever
 * lies nearer to zero. Single samples do not
 * count: two values in a thousand are left out on either side.
 *
 * @param force values with the sign that they have in the file, or that the layout gave them; NaN where one is missing.
 * @returns how far it goes, or nothing where it stands the right way up.
 *
 * @example
 * upsideDown(Float64Array.from({ length: 200 }, (_, at) => -Math.max(0, at - 99)))?.lowest // -100
 */
export function upsideDown(force: Float64Array): UpsideDown | undefined {
  const stride = Math.max(1, Math.ceil(force.length / mostLookedAt));
  const seen: number[] = [];
  for (let at = 0; at < force.length; at += stride)
    if (!Number.isNaN(force[at] as number)) seen.push(force[at] as number);
  if (seen.length < fewestOfARecord) return undefined;
  const sorted = Float64Array.from(seen).sort();
  const left = Math.floor(0.002 * sorted.length);
  const lowest = sorted[left] as number;
  const highest = sorted[sorted.length - 1 - left] as number;
  if (lowest >= 0) return undefined;
  const first = endLevel(force, 0, 1);
  const last = endLevel(force, force.length - 1, -1);
  const zero = Math.abs(last) < Math.abs(first) ? last : first;
  const down = zero - lowest;
  if (down < downOverUp * (highest - zero)) return undefined;
  const quiet = force.subarray(0, mostLookedAt).filter((value) => !Number.isNaN(value));
  if (down < scattersOfALoad * Math.max(rippleOf(quiet), finestStep(quiet))) return undefined;
  return { lowest, highest };
}

/** The smallest difference between neighbours that differ; 0 where none do. */
export function finestStep(values: Float64Array): number {
  let finest = Number.POSITIVE_INFINITY;
  for (let at = 1; at < values.length; at++) {
    const step = Math.abs((values[at] as number) - (values[at - 1] as number));
    if (step > 1e-9 && step < finest) finest = step;
  }
  return finest === Number.POSITIVE_INFINITY ? 0 : finest;
}

/** The middle of the values at one end of a record. */
function endLevel(force: Float64Array, from: number, step: 1 | -1): number {
  const values: number[] = [];
  for (let at = from; at >= 0 && at < force.length && values.length < valuesOfAnEnd; at += step)
    if (!Number.isNaN(force[at] as number)) values.push(force[at] as number);
  return values.sort((a, b) => a - b)[values.length >> 1] ?? 0;
}
