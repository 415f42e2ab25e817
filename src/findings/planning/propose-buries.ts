import { ok, type Result, refuse } from "../../problem/mod.ts";
import { cholesky, normalDensity, normalUpper, normalUpperQuantile, solveByFactor } from "../../stats/mod.ts";
import { type BuryTruth, buryAtChance, problemsOfTruth, slipMedian } from "./bury-truth.ts";

/** Buries at even steps, and how surely many pulls there would place the bury asked for. */
export type ProposedBuries = {
  readonly levels: readonly number[];
  /** Standard error of the estimated bury with so many pulls at each level, in diameters, by the information in a pull. */
  readonly standardError: number;
};

/**
 * The shortest bury, as a share of the turn. By the sums alone the ladder would begin much shorter; but there the answer
 * rests on the law of growth holding all the way, which is what nobody knows.
 */
const shortestShare = 0.5;

/** How far the turn may lie from where it is assumed, as a share: the plan has to answer there as well. */
const turnsTried = [0.85, 1, 1.15];

/**
 * Where should the buries lie, so that the pulls place the bury asked for as surely as they can?
 *
 * count: how many levels, 3 to 8; pullsPerLevel from 1; chance as for the bury to state. Result: levels at even whole steps
 * (a plan that a hand can mark) that bracket the turn; none is shorter than half the turn.
 * The turn is not known before it is pulled: the ladder taken has the least mean standard error over a turn at 0.85, 1 and
 * 1.15 of the assumed one.
 * Formula: c-optimal design; variance of the estimate = gᵀ (n Σ I(L))⁻¹ g, I(L) the expected information of one pull at L in
 * (slip level, growth, ln s₁, ln B, ln s₂) with each strength censored by the other, g the slope of the bury in these.
 * Source: S. D. Silvey, Optimal Design (1980), chapter 2 (from memory).
 *
 * @example
 * const truth = { growth: "exponential", plateau: 0.9, turn: 34, slipBury: 20, slipStrength: 0.6, slipScatter: 0.08, breakScatter: 0.08 } as const;
 * const answer = proposeBuries({ truth, count: 5, pullsPerLevel: 5, chance: 0.05 });
 * answer.ok && answer.value.levels.length // 5
 */
export function proposeBuries(input: {
  readonly truth: BuryTruth;
  readonly count: number;
  readonly pullsPerLevel: number;
  readonly chance: number;
}): Result<ProposedBuries> {
  const { truth, pullsPerLevel, chance } = input;
  const [problem, ...more] = problemsOfTruth(truth);
  if (problem !== undefined) return refuse(problem, ...more);
  const count = Math.min(Math.max(Math.round(input.count), 3), 8);
  const worlds = turnsTried.map((times) => moved(truth, truth.turn * times));
  const far = buryAtChance(truth, chance);
  const information = worlds.map((world) => informationIn(world));
  let best: ProposedBuries | undefined;
  for (let start = Math.ceil(Math.max(1, shortestShare * truth.turn)); start < truth.turn; start++)
    for (let step = 1; start + step * (count - 1) <= Math.ceil(1.25 * far); step++) {
      const levels = Array.from({ length: count }, (_, i) => start + i * step);
      if ((levels.at(-1) as number) < truth.turn) continue;
      const errors = worlds.map((world, at) =>
        errorOf(world, levels.map(information[at] as (level: number) => number[][]), pullsPerLevel, chance),
      );
      const mean = errors.reduce((sum, error) => sum + error, 0) / errors.length;
      if (Number.isFinite(mean) && (best === undefined || mean < best.standardError))
        best = { levels, standardError: mean };
    }
  if (best === undefined)
    return refuse({
      code: "STAT_DEGENERATE",
      message: "No buries at whole steps of the diameter would place the turn that is assumed.",
      found: `turn ${truth.turn} diameters`,
      wayOut: "Look at the assumed turn and growth.",
    });
  const here = errorOf(truth, best.levels.map(informationIn(truth)), pullsPerLevel, chance);
  return ok({ levels: best.levels, standardError: here });
}

/** The standard error by the information that pulls at these levels hold, in diameters; infinite where they hold too little. */
export function buryError(
  truth: BuryTruth,
  levels: readonly number[],
  pullsPerLevel: number,
  chance: number,
): number {
  return errorOf(truth, levels.map(informationIn(truth)), pullsPerLevel, chance);
}

/** The same world with its turn elsewhere: slip strengths are what they were at the same share of the way. */
function moved(truth: BuryTruth, turn: number): BuryTruth {
  return { ...truth, turn, slipBury: (truth.slipBury * turn) / truth.turn };
}

function errorOf(
  truth: BuryTruth,
  perLevel: readonly (readonly (readonly number[])[])[],
  pullsPerLevel: number,
  chance: number,
): number {
  const size = 5;
  const total = Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (__, j) =>
      perLevel.reduce((sum, matrix) => sum + pullsPerLevel * (matrix[i]?.[j] as number), 0),
    ),
  );
  const factor = cholesky(total);
  if (typeof factor === "number") return Number.POSITIVE_INFINITY;
  const slope = slopeOfBury(truth, chance);
  const solved = solveByFactor(factor, slope);
  return Math.sqrt(slope.reduce((sum, g, i) => sum + g * (solved[i] as number), 0));
}

/** How the bury at a chance moves with slip level, growth, ln s₁, ln B and ln s₂. */
function slopeOfBury(truth: BuryTruth, chance: number): number[] {
  const { growth, plateau, turn, slipBury, slipStrength, slipScatter, breakScatter } = truth;
  const z = normalUpperQuantile(chance);
  const both = Math.hypot(slipScatter, breakScatter);
  const x = buryAtChance(truth, chance) - slipBury;
  const [bySlip, byBreak] = [(z * slipScatter ** 2) / both, (z * breakScatter ** 2) / both];
  if (growth === "linear") {
    const rate = (plateau - slipStrength) / (turn - slipBury);
    const end = plateau * Math.exp(z * both);
    return [-1 / rate, -x / rate, (end * bySlip) / rate, end / rate, (end * byBreak) / rate];
  }
  const rate = Math.log(plateau / slipStrength) / (turn - slipBury);
  return [-1 / rate, -x / rate, bySlip / rate, 1 / rate, byBreak / rate];
}

/** The expected information of one pull at a level, worked out once for each. */
function informationIn(truth: BuryTruth): (level: number) => number[][] {
  const known = new Map<number, number[][]>();
  return (level) => {
    const found = known.get(level) ?? informationAt(truth, level);
    known.set(level, found);
    return found;
  };
}

const steps = 160;

/** Squares of the slopes of the log-likelihood, weighed by the density of what a pull shows; trapezium rule over 8 scatters. */
function informationAt(truth: BuryTruth, level: number): number[][] {
  const { growth, plateau, slipBury, slipScatter, breakScatter } = truth;
  const median = slipMedian(truth, level);
  const matrix = Array.from({ length: 5 }, () => new Array<number>(5).fill(0));
  if (!(median > 0)) return matrix;
  const [slipMean, breakMean] = [Math.log(median), Math.log(plateau)];
  const x = level - slipBury;
  const inLevel = growth === "linear" ? 1 / median : 1;
  const low = Math.min(slipMean - 8 * slipScatter, breakMean - 8 * breakScatter);
  const high = Math.min(slipMean + 8 * slipScatter, breakMean + 8 * breakScatter);
  const width = (high - low) / steps;
  for (let i = 0; i <= steps; i++) {
    const y = low + i * width;
    const u = (y - slipMean) / slipScatter;
    const v = (y - breakMean) / breakScatter;
    const [slipLeft, breakLeft] = [normalUpper(u), normalUpper(v)];
    const [slipHazard, breakHazard] = [normalDensity(u) / slipLeft, normalDensity(v) / breakLeft];
    const slipped = [u / slipScatter, u * u - 1, breakHazard / breakScatter, v * breakHazard] as const;
    const broke = [slipHazard / slipScatter, u * slipHazard, v / breakScatter, v * v - 1] as const;
    add(slipped, (normalDensity(u) / slipScatter) * breakLeft * width);
    add(broke, (normalDensity(v) / breakScatter) * slipLeft * width);
  }
  return matrix;

  function add(slopes: readonly [number, number, number, number], weight: number): void {
    if (!(weight > 0)) return;
    const [slip, slipSpread, rope, ropeSpread] = slopes;
    const all = [slip * inLevel, slip * inLevel * x, slipSpread, rope, ropeSpread];
    for (const [i, a] of all.entries())
      for (const [j, b] of all.entries())
        (matrix[i] as number[])[j] = (matrix[i]?.[j] as number) + weight * a * b;
  }
}
