import { createRandom } from "../../stats/mod.ts";
import { broke, type Sample, slipped, stopped } from "./fitter.ts";
import type { Growth } from "./types.ts";

/** A world to draw pulls from. Covariates' effects stand in the order of the sample's. */
export type World = {
  readonly growth: Growth;
  readonly level: number;
  readonly grown: number;
  readonly slipScatter: number;
  readonly plateau: number;
  readonly breakScatter: number;
  readonly slipEffects: readonly number[];
  readonly breakEffects: readonly number[];
};

/** Growth of the slip strength's logarithm from the shortest bury up to t. */
export function growthTo(growth: Growth, t: number, grown: number): number {
  return growth === "linear" ? Math.log1p(t * Math.expm1(grown)) : t * grown;
}

/**
 * Where in the range of buries the slip strength has grown by `need`: infinite where it never does, −infinite where it is
 * there at any bury.
 */
export function placeOfGrowth(growth: Growth, need: number, grown: number): number {
  if (grown <= 0) return need > 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
  return growth === "linear" ? Math.expm1(need) / Math.expm1(grown) : need / grown;
}

export function bothScatters(slipScatter: number, breakScatter: number): number {
  return Math.sqrt(slipScatter * slipScatter + breakScatter * breakScatter);
}

/** When a pull would have been stopped: drawn anew for each resample. */
export type Stops = {
  /** Logarithms of the strengths at which pulls were stopped, rising, each once. */
  readonly at: Float64Array;
  /** The chance of not having been stopped up to and with each. */
  readonly passed: Float64Array;
};

/** How likely a pull is stopped at which force, by Kaplan and Meier with the roles of end and stop exchanged. */
export function stopsOf(sample: Sample): Stops {
  const { n, y, kind } = sample;
  const stops = [...y].filter((_, i) => kind[i] === stopped).sort((a, b) => a - b);
  const at = [...new Set(stops)];
  let left = 1;
  const passed = at.map((force) => {
    // A pull that ended just where another was stopped ended before it.
    let risk = 0;
    for (let i = 0; i < n; i++)
      if ((y[i] as number) > force || (y[i] === force && kind[i] === stopped)) risk++;
    left *= 1 - stops.filter((one) => one === force).length / risk;
    return left;
  });
  return { at: Float64Array.from(at), passed: Float64Array.from(passed) };
}

/** The chance in one resample, pull by pull: two standard normals, and when it would have been stopped. */
export type Chance = {
  readonly slip: Float64Array;
  readonly rope: Float64Array;
  readonly stop: Float64Array;
};

export function roomForChance(n: number): Chance {
  return { slip: new Float64Array(n), rope: new Float64Array(n), stop: new Float64Array(n) };
}

/** Draws the chance of one resample. A pull that was stopped is stopped there again; any other where the stops say, if later. */
export function drawChance({ n, y, kind }: Sample, stops: Stops, seed: number, into: Chance): void {
  const random = createRandom(seed);
  random.fillNormals(into.slip, into.rope);
  const never = stops.at.length === 0;
  for (let i = 0; i < n; i++)
    into.stop[i] = never
      ? Number.POSITIVE_INFINITY
      : kind[i] === stopped
        ? (y[i] as number)
        : drawStop(stops, y[i] as number, random.uniform());
}

/**
 * The pulls that a world gives by that chance, into y and kind: the same buries and covariates as the original's, the smaller
 * of two strengths, or the stop. Several worlds may be looked at by the same chance.
 * Source: A. C. Davison and D. V. Hinkley, Bootstrap Methods and their Application (1997), algorithm 3.1.
 */
export function layPulls(
  world: World,
  { n, t, slipBy, breakBy }: Sample,
  chance: Chance,
  into: { readonly y: Float64Array; readonly kind: Uint8Array },
): void {
  const { growth, level, grown, slipScatter, plateau, breakScatter, slipEffects, breakEffects } = world;
  for (let i = 0; i < n; i++) {
    let slip = level + growthTo(growth, t[i] as number, grown) + slipScatter * (chance.slip[i] as number);
    let rope = plateau + breakScatter * (chance.rope[i] as number);
    for (let j = 0; j < slipBy.length; j++)
      slip += (slipEffects[j] as number) * ((slipBy[j] as Float64Array)[i] as number);
    for (let j = 0; j < breakBy.length; j++)
      rope += (breakEffects[j] as number) * ((breakBy[j] as Float64Array)[i] as number);
    const stop = chance.stop[i] as number;
    const end = Math.min(slip, rope);
    into.y[i] = Math.min(end, stop);
    into.kind[i] = stop < end ? stopped : slip < rope ? slipped : broke;
  }
}

function drawStop({ at, passed }: Stops, after: number, share: number): number {
  let first = 0;
  while (first < at.length && (at[first] as number) < after) first++;
  const here = first === 0 ? 1 : (passed[first - 1] as number);
  for (let i = first; i < at.length; i++) if ((passed[i] as number) < share * here) return at[i] as number;
  return Number.POSITIVE_INFINITY;
}

/** The seed of one resample: the same whoever draws it, and far from its neighbours'. */
export function seedOf(seed: number, round: number, index: number): number {
  let word = (Math.imul(seed | 0, 0x9e3779b1) ^ Math.imul(round + 1, 0x85ebca6b)) | 0;
  word = Math.imul(word ^ (word >>> 15), 0x2c1b3c6d) + index;
  word = Math.imul(word ^ (word >>> 12), 0x297a2d39);
  return (word ^ (word >>> 15)) >>> 0;
}
