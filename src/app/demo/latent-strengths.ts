import type { Random } from "../../stats/mod.ts";

/** The two splices of the demo. */
export type DemoSplice = "straight-bury eye" | "crossed-tail loop";

/**
 * The demo's world: what ropes, splices, makers and spools really do in it. All figures are of our own invention,
 * chosen so that short buries slip and long ones break; none was measured.
 *
 * A specimen has two latent strengths, each log-normal about its mean: the force at which its splice slips,
 * mean = slipAt · (effective bury / slipBury)^slipPower, and the force at which its rope breaks. Both are parts of
 * legs × the line's strength. The power law in bury is what a friction that falls with pressure gives
 * (T_slip = T0 (λ0 L/(d ln 2))^(1/m), own derivation): with m = 0.8 the power is 1.25.
 */
export const demoWorld = {
  /** Effective bury in diameters at which a splice slips at `slipAt` on average. */
  slipBury: 41,
  slipPower: 1.25,
  /** How much of a taper's length grips like full thickness. */
  taperGrip: 0.5,
  splices: {
    "straight-bury eye": { legs: 1, slipAt: 0.84, breakAt: 0.91 },
    "crossed-tail loop": { legs: 2, slipAt: 0.93, breakAt: 0.88 },
  },
  /** Standard deviations of the logarithms, by where the scatter comes from. */
  slipScatter: { maker: 0.05, specimen: 0.13 },
  breakScatter: { maker: 0.012, spool: 0.015, specimen: 0.032 },
} as const;

/** What all splices of one maker, or from one spool, have in common: standard normal deviates. */
export type Habits = { readonly slip: number; readonly break: number };

export type LatentStrengths = { readonly slipN: number; readonly breakN: number };

/**
 * Draws one specimen's two strengths in newtons; it ends by the lower one.
 *
 * @example
 * const habits = { slip: 0, break: 0 };
 * const strengths = drawLatentStrengths({
 *   splice: "straight-bury eye", lineStrengthN: 25_000, diameterMm: 5,
 *   buryFullMm: 180, buryTaperMm: 50, maker: habits, spool: habits,
 * }, createRandom(1));
 * strengths.slipN > 0 // true
 */
export function drawLatentStrengths(
  specimen: {
    readonly splice: DemoSplice;
    /** The rope's true single-line strength, which a rated strength only tells something about. */
    readonly lineStrengthN: number;
    readonly diameterMm: number;
    readonly buryFullMm: number;
    readonly buryTaperMm: number;
    readonly maker: Habits;
    readonly spool: Habits;
  },
  random: Random,
): LatentStrengths {
  const mean = meanLatentStrengths(specimen);
  const { slipScatter, breakScatter } = demoWorld;
  const slipDeviation = slipScatter.maker * specimen.maker.slip + slipScatter.specimen * random.normal();
  const breakDeviation =
    breakScatter.maker * specimen.maker.break +
    breakScatter.spool * specimen.spool.break +
    breakScatter.specimen * random.normal();
  return {
    slipN: logNormal(mean.slipN, Object.values(slipScatter), slipDeviation),
    breakN: logNormal(mean.breakN, Object.values(breakScatter), breakDeviation),
  };
}

/** The means of both strengths over all makers, spools and specimens of these lengths, in newtons. */
export function meanLatentStrengths(specimen: {
  readonly splice: DemoSplice;
  readonly lineStrengthN: number;
  readonly diameterMm: number;
  readonly buryFullMm: number;
  readonly buryTaperMm: number;
}): LatentStrengths {
  const { slipBury, slipPower, taperGrip, splices } = demoWorld;
  const { legs, slipAt, breakAt } = splices[specimen.splice];
  const effectiveBury = (specimen.buryFullMm + taperGrip * specimen.buryTaperMm) / specimen.diameterMm;
  const together = legs * specimen.lineStrengthN;
  return {
    slipN: together * slipAt * (effectiveBury / slipBury) ** slipPower,
    breakN: together * breakAt,
  };
}

/** exp(μ + deviation) with μ = ln(mean) − σ²/2, so that the mean is the stated one and the CV is √(exp(σ²) − 1). */
function logNormal(mean: number, scatters: readonly number[], deviation: number): number {
  const variance = scatters.reduce((sum, scatter) => sum + scatter ** 2, 0);
  return mean * Math.exp(deviation - variance / 2);
}
