import { breakSize, createFitter, type Fitter, type Sample, slipped, slipSize } from "./fitter.ts";
import { bothScatters, growthTo, placeOfGrowth, type World } from "./resample.ts";
import type { Growth } from "./types.ts";

/** The top of the likelihood under one law of growth. */
export type Top = World & {
  readonly height: number;
  readonly slipHeight: number;
};

/** One law of growth on one sample; where its y and kind were drawn anew, the fitter reads it. */
export type Law = {
  readonly growth: Growth;
  readonly fitter: Fitter;
  /** Climbs to the top from a world near it; undefined where it did not settle. */
  readonly top: (from: World, tolerance?: number) => Top | undefined;
  /** The top where the chance of slipping first at the place t is held; z is the upper normal quantile of that chance. */
  readonly held: (from: World, t: number, z: number, tolerance?: number) => Top | undefined;
};

export function createLaw(sample: Sample, growth: Growth): Law {
  const fitter = createFitter(sample);
  const slips = sample.slipBy.length;
  const breaks = sample.breakBy.length;
  const slipAt = new Float64Array(slipSize + slips);
  const breakAt = new Float64Array(breakSize + breaks);
  const heldAt = new Float64Array(4 + slips + breaks);

  const top = (from: World, tolerance?: number): Top | undefined => {
    slipAt[0] = from.level;
    slipAt[1] = from.grown;
    slipAt[2] = Math.log(from.slipScatter);
    if (slips > 0) slipAt.set(from.slipEffects, slipSize);
    breakAt[0] = from.plateau;
    breakAt[1] = Math.log(from.breakScatter);
    if (breaks > 0) breakAt.set(from.breakEffects, breakSize);
    const slipHeight = fitter.fitSlip(growth, slipAt, tolerance);
    const breakHeight = fitter.fitBreak(breakAt, tolerance);
    if (!Number.isFinite(slipHeight + breakHeight)) return undefined;
    return {
      growth,
      level: slipAt[0],
      grown: slipAt[1],
      slipScatter: Math.exp(slipAt[2]),
      plateau: breakAt[0],
      breakScatter: Math.exp(breakAt[1] as number),
      slipEffects: slips === 0 ? none : [...slipAt.subarray(slipSize)],
      breakEffects: breaks === 0 ? none : [...breakAt.subarray(breakSize)],
      height: slipHeight + breakHeight,
      slipHeight,
    };
  };

  const held = (from: World, t: number, z: number, tolerance?: number): Top | undefined => {
    heldAt[0] = from.plateau;
    heldAt[1] = Math.min(Math.max(from.grown, 0.05), 8);
    heldAt[2] = Math.log(from.slipScatter);
    heldAt[3] = Math.log(from.breakScatter);
    if (slips > 0) heldAt.set(from.slipEffects, 4);
    if (breaks > 0) heldAt.set(from.breakEffects, 4 + slips);
    const height = fitter.fitHeld(growth, t, z, heldAt, tolerance);
    if (!Number.isFinite(height)) return undefined;
    const [plateau, grown] = [heldAt[0], heldAt[1]];
    const slipScatter = Math.exp(heldAt[2]);
    const breakScatter = Math.exp(heldAt[3]);
    return {
      growth,
      level: plateau + z * bothScatters(slipScatter, breakScatter) - growthTo(growth, t, grown),
      grown,
      slipScatter,
      plateau,
      breakScatter,
      slipEffects: slips === 0 ? none : [...heldAt.subarray(4, 4 + slips)],
      breakEffects: breaks === 0 ? none : [...heldAt.subarray(4 + slips)],
      height,
      slipHeight: Number.NaN,
    };
  };
  return { growth, fitter, top, held };
}

const none: readonly number[] = [];

/** Where the chance of slipping first has fallen to that of z, in the range of buries; see `placeOfGrowth`. */
export function placeAt(world: World, z: number): number {
  const need = world.plateau + z * bothScatters(world.slipScatter, world.breakScatter) - world.level;
  return placeOfGrowth(world.growth, need, world.grown);
}

/** The chance of slipping first at t, as the normal quantile of not doing so. */
export function marginAt(world: World, t: number): number {
  const slip = world.level + growthTo(world.growth, t, world.grown);
  return (slip - world.plateau) / bothScatters(world.slipScatter, world.breakScatter);
}

/**
 * The signed root of twice the likelihood ratio: how many standard errors, as it were, the top lies from what is held.
 * Above 0 where the top puts the place of that chance beyond t.
 */
export function signedRoot(top: Top, held: Top, t: number, z: number): number {
  const fall = Math.sqrt(2 * Math.max(0, top.height - held.height));
  return marginAt(top, t) < z ? fall : -fall;
}

/** A world to start climbing from, read off the pulls: means by outcome, a growth that fits the two ends. */
export function roughWorlds(sample: Sample, growth: Growth): World[] {
  const { n, y, kind, slipBy, breakBy } = sample;
  let [slipSum, slips, restSum] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    if (kind[i] === slipped) {
      slipSum += y[i] as number;
      slips += 1;
    } else restSum += y[i] as number;
  }
  const plateau = slips === n ? slipSum / n : restSum / (n - slips);
  const level = slips === 0 ? plateau : slipSum / slips;
  return [0.6, 0.1, 2].map((grown) => ({
    growth,
    level: level - 0.2 * grown,
    grown,
    slipScatter: 0.12,
    plateau,
    breakScatter: 0.08,
    slipEffects: slipBy.map(() => 0),
    breakEffects: breakBy.map(() => 0),
  }));
}
