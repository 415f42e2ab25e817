import { logUpperSlopes } from "../distributions/log-upper-table.ts";
import { normalDensity } from "../distributions/normal.ts";
import { sum } from "../numeric/moments.ts";
import { findRootFrom } from "../numeric/root.ts";
import { quadratureNodes, type RunningIntegral, runningIntegral } from "../numeric/running-integral.ts";
import { gammaRegularizedLower } from "../special/gamma.ts";
import { largest } from "../values.ts";

/** Values on the scale on which the law only shifts and stretches: logarithms for Weibull and log-normal. */
export type Readings = { readonly measured: readonly number[]; readonly atLeast: readonly number[] };

/**
 * What the values say of location and spread, given their pattern (their distances in units of the spread): the law of
 * the pivots is then known without parameters, and is the same as the posterior with the prior 1/spread.
 * Exact for complete samples and where the pull stops after a fixed number of failures; otherwise the confidence is
 * approximate.
 * Source: J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed. (2003), 5.1.2 and appendix E.
 */
export type ConditionalLaw = {
  /** The place below which location + spread · score lies with the stated chance. */
  readonly placeBelow: (score: number, chance: number) => number;
  /** The spread below which the true one lies with the stated chance. */
  readonly spreadBelow: (chance: number) => number;
};

/**
 * Of a Weibull population, from logarithms; two or more measured values that differ, and values that are only lower
 * bounds beside them.
 * Formula: over the spread b the weight is b^(1−r) exp(Σ measured/b) S^(−r) d log b, S = Σ exp(y/b) over all values, and
 * given b the chance that location + b·score lies above a place ξ is the incomplete gamma P(r, S exp(score − ξ/b)).
 */
export function conditionalWeibull(readings: Readings): ConditionalLaw {
  const { measured } = readings;
  const all = [...measured, ...readings.atLeast];
  const r = measured.length;
  const top = largest(all);
  const spread = spreadOf(all);
  const gaps = Float64Array.from(all, (y) => (y - top) / spread);
  const measuredSum = sum(measured.map((y) => (y - top) / spread));
  const logS = (b: number) => {
    // All terms are positive, the largest is 1: a plain sum keeps its digits.
    let total = 0;
    for (let i = 0; i < gaps.length; i++) total += Math.exp((gaps[i] as number) / b);
    return Math.log(total);
  };
  const logWeight = (logB: number) => {
    const b = Math.exp(logB);
    return (1 - r) * logB + measuredSum / b - r * logS(b);
  };
  const spreads = spreadLaw(logWeight);
  // What is found of the sum once need not be added up again: with a million values that is all the work there is.
  const nodes = spreads.nodes.map(({ logB, weight, logWeight: found }) => {
    const b = Math.exp(logB);
    return { b, logS: ((1 - r) * logB + measuredSum / b - found) / r, weight };
  });
  const above = (score: number, xi: number) => {
    let total = 0;
    for (const { b, logS: found, weight } of nodes)
      total += weight * gammaRegularizedLower(r, Math.exp(score + found - xi / b));
    return total;
  };
  return {
    placeBelow: (score, chance) => {
      const guess = score < 0 ? 3 * score : 0;
      return top + spread * findRootFrom((xi) => 1 - chance - above(score, xi), guess, 1);
    },
    spreadBelow: (chance) => spread * spreads.below(chance),
  };
}

/**
 * Of a normal population, with values that are only lower bounds among the measured ones (without such values the exact
 * laws are Student's t and chi-squared, and those are used instead).
 * Formula: as above with the normal law; given b, the location has a normal weight around the measured mean times the
 * chance of each lower bound to be passed.
 */
export function conditionalNormal({ measured, atLeast }: Readings): ConditionalLaw {
  const r = measured.length;
  const root = Math.sqrt(r);
  const mean = sum(measured) / r;
  // Of all of them: two measured values may lie close together far below a third that was stopped.
  const spread = spreadOf([...measured, ...atLeast]);
  const squares = sum(measured.map((y) => ((y - mean) / spread) ** 2));
  const limits = Float64Array.from(atLeast, (y) => (y - mean) / spread);
  const highest = Math.max(0, ...limits);
  const chance = { value: 0, first: 0, second: 0 };
  // v: how far the true mean lies from the measured one, in its own standard errors b/√r.
  const passed = (v: number, b: number) => {
    let logChance = 0;
    for (let i = 0; i < limits.length; i++) {
      logUpperSlopes((limits[i] as number) / b - v / root, chance);
      logChance += chance.value;
    }
    return normalDensity(v) * Math.exp(logChance);
  };
  const known = new Map<number, RunningIntegral>();
  const overMeans = (b: number) => {
    const low = -9;
    const high = 9 + (root * highest) / b;
    const panels = Math.ceil((high - low) / 4);
    const values = quadratureNodes(low, high, panels).at.map((v) => passed(v, b));
    return runningIntegral(values, low, high, panels);
  };
  const logWeight = (logB: number) => {
    const b = Math.exp(logB);
    const found = overMeans(b);
    known.set(logB, found);
    return (1 - r) * logB - squares / (2 * b * b) + Math.log(found.total);
  };
  const spreads = spreadLaw(logWeight);
  const nodes = spreads.nodes.map(({ logB, weight }) => {
    const b = Math.exp(logB);
    return { b, weight, means: known.get(logB) ?? overMeans(b) };
  });
  const below = (score: number, xi: number) => {
    let total = 0;
    for (const { b, weight, means } of nodes)
      total += (weight * means.upTo(root * (xi / b - score))) / means.total;
    return total;
  };
  return {
    placeBelow: (score, chance) => {
      const guess = score < 0 ? 2 * score : 0;
      return mean + spread * findRootFrom((xi) => below(score, xi) - chance, guess, 1);
    },
    spreadBelow: (chance) => spread * spreads.below(chance),
  };
}

/** A rough size of the scatter, only to bring the search near 1. */
function spreadOf(values: readonly number[]): number {
  const mean = sum(values) / values.length;
  return Math.sqrt(sum(values.map((y) => (y - mean) ** 2)) / values.length);
}

type SpreadLaw = {
  /** Places over log b with weights that sum to 1. */
  readonly nodes: readonly { readonly logB: number; readonly weight: number; readonly logWeight: number }[];
  /** The b below which the stated share of the weight lies. */
  readonly below: (chance: number) => number;
};

/** The law of b from the logarithm of its weight over log b, wherever that is above e⁻³⁵ of its peak. */
function spreadLaw(logWeight: (logB: number) => number): SpreadLaw {
  const { peak, best, step } = climb(logWeight);
  // The width over which the weight falls by half a unit of its logarithm: one standard deviation for a normal peak.
  let width = step;
  while (Math.min(logWeight(peak - width), logWeight(peak + width)) > best - 0.5 && width < 4) width *= 1.25;
  const end = (direction: number) => {
    let away = width;
    while (logWeight(peak + direction * away) - best > -35) away += width;
    return peak + direction * away;
  };
  const [low, high] = [end(-1), end(1)];
  // The share that clears a bound turns over much more steeply in log b than the weight itself does. With 32 nodes to
  // three widths the bound agrees to 1e-13 with adaptive quadrature; with one or two nodes it is off by a thousandth.
  const panels = Math.ceil((high - low) / (1.5 * width));
  const { at, weight } = quadratureNodes(low, high, panels);
  const logs = at.map(logWeight);
  const heights = logs.map((found) => Math.exp(found - best));
  const { total, upTo } = runningIntegral(heights, low, high, panels);
  return {
    nodes: Array.from(at, (logB, i) => ({
      logB,
      weight: ((heights[i] as number) * (weight[i] as number)) / total,
      logWeight: logs[i] as number,
    })),
    below: (chance) => Math.exp(findRootFrom((logB) => upTo(logB) / total - chance, peak, width)),
  };
}

/** The highest place, near enough that a further step would lower the weight by a tenth at most. */
function climb(logWeight: (logB: number) => number) {
  let peak = 0;
  let best = logWeight(0);
  for (let step = 1; ; step /= 2) {
    let [left, right] = [logWeight(peak - step), logWeight(peak + step)];
    while (left > best || right > best) {
      peak += right > left ? step : -step;
      [left, best, right] =
        right > left ? [best, right, logWeight(peak + step)] : [logWeight(peak - step), left, best];
    }
    if (Math.min(left, right) > best - 0.1 || step < 1e-6) return { peak, best, step };
  }
}
