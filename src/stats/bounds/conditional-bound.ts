import { logNormalUpper, normalDensity, normalQuantile } from "../distributions/normal.ts";
import { integrate } from "../numeric/gauss-legendre.ts";
import { sum } from "../numeric/moments.ts";
import { findRootFrom } from "../numeric/root.ts";
import { gammaRegularizedLower } from "../special/gamma.ts";
import { largest } from "../values.ts";

/** Values on the scale on which the law only shifts and stretches: logarithms for Weibull and log-normal. */
export type Readings = { readonly measured: readonly number[]; readonly atLeast: readonly number[] };

/**
 * The bound below which, with the stated confidence, at most the share 1 − content of a Weibull population lies; values
 * and result are logarithms.
 *
 * Two or more measured values that differ; values that are only lower bounds beside them.
 * Formula: given the pattern of the values (their distances in units of the spread), the law of the pivot is known
 * without parameters; over the spread b its weight is b^(1−r) exp(Σ measured/b) S^(−r) d log b, S = Σ exp(y/b) over all
 * values, and given b the share of pivots that clear a bound ξ is the incomplete gamma P(r, −log(content) S e^(−ξ/b)).
 * Exact for complete samples and where the pull stops after a fixed number of failures; otherwise the confidence is
 * approximate.
 * Source: J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed. (2003), 5.1.2 and appendix E; the
 * same posterior as with the prior 1/b.
 */
export function weibullConditionalBound(readings: Readings, content: number, confidence: number): number {
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
    for (const gap of gaps) total += Math.exp(gap / b);
    return Math.log(total);
  };
  const logWeight = (logB: number) => {
    const b = Math.exp(logB);
    return (1 - r) * logB + measuredSum / b - r * logS(b);
  };
  // What is found of the sum once need not be added up again: with a million values that is all the work there is.
  const nodes = spreadNodes(logWeight).map(({ logB, weight, logWeight: found }) => {
    const b = Math.exp(logB);
    return { b, logS: ((1 - r) * logB + measuredSum / b - found) / r, weight };
  });
  const logCut = Math.log(-Math.log(content));
  const cleared = (xi: number) =>
    sum(
      nodes.map((node) => node.weight * gammaRegularizedLower(r, Math.exp(logCut + node.logS - xi / node.b))),
    );
  const guess = -3 * Math.abs(logCut);
  return top + spread * findRootFrom((xi) => confidence - cleared(xi), guess, 1);
}

/**
 * The same for a normal population with values that are only lower bounds among the measured ones (without such values
 * it is mean − k·sd with the exact factor, and that is used instead).
 * Formula: as above with the normal law; given b, the mean has a normal weight around the measured mean times the
 * chance of each lower bound to be passed.
 */
export function normalConditionalBound(readings: Readings, content: number, confidence: number): number {
  const { measured, atLeast } = readings;
  const r = measured.length;
  const root = Math.sqrt(r);
  const mean = sum(measured) / r;
  // Of all of them: two measured values may lie close together far below a third that was stopped.
  const spread = spreadOf([...measured, ...atLeast]);
  const squares = sum(measured.map((y) => ((y - mean) / spread) ** 2));
  const limits = atLeast.map((y) => (y - mean) / spread);
  const z = normalQuantile(content);
  // v: how far the true mean lies from the measured one, in its own standard errors b/√r.
  const passed = (v: number, b: number) => {
    let logChance = 0;
    for (const limit of limits) logChance += logNormalUpper(limit / b - v / root);
    return normalDensity(v) * Math.exp(logChance);
  };
  const inner = (b: number) => {
    const from = -9;
    const to = 9 + root * Math.max(0, ...limits.map((limit) => limit / b));
    return { to, total: integrate((v) => passed(v, b), from, to, panelsFor(from, to)) };
  };
  const logWeight = (logB: number) => {
    const b = Math.exp(logB);
    return (1 - r) * logB - squares / (2 * b * b) + Math.log(inner(b).total);
  };
  const nodes = spreadNodes(logWeight).map(({ logB, weight }) => {
    const b = Math.exp(logB);
    return { b, weight, ...inner(b) };
  });
  const cleared = (xi: number) =>
    sum(
      nodes.map(({ b, weight, to, total }) => {
        const least = Math.max(-9, root * (xi / b + z));
        if (least >= to) return 0;
        return (weight * integrate((v) => passed(v, b), least, to, panelsFor(least, to))) / total;
      }),
    );
  return mean + spread * findRootFrom((xi) => confidence - cleared(xi), -2 * Math.abs(z) - 1, 1);
}

function panelsFor(from: number, to: number): number {
  return Math.max(2, Math.ceil((to - from) / 4));
}

/** A rough size of the scatter, only to bring the search near 1. */
function spreadOf(values: readonly number[]): number {
  const mean = sum(values) / values.length;
  return Math.sqrt(sum(values.map((y) => (y - mean) ** 2)) / values.length);
}

/** Trapezium nodes over log b with weights that sum to 1, wherever the weight is above e⁻³⁵ of its peak. */
function spreadNodes(
  logWeight: (logB: number) => number,
): { readonly logB: number; readonly weight: number; readonly logWeight: number }[] {
  let peak = 0;
  let best = logWeight(0);
  for (let step = 1; step > 1e-3; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (const at of [peak - step, peak + step]) {
        const value = logWeight(at);
        if (value > best) {
          best = value;
          peak = at;
          moved = true;
        }
      }
    }
  }
  // The width over which the weight falls by half a unit of its logarithm: one standard deviation for a normal peak.
  let width = 1e-3;
  while (Math.min(logWeight(peak - width), logWeight(peak + width)) > best - 0.5 && width < 4) width *= 1.25;
  // The share that clears a bound turns over much more steeply in log b than the weight itself does. With eight nodes to
  // the width the bound agrees to 1e-13 with adaptive quadrature; with one or two it is off by up to a thousandth.
  const step = width / 8;
  const nodes: { logB: number; weight: number; logWeight: number }[] = [];
  for (const direction of [-1, 1]) {
    for (let i = direction === 1 ? 0 : 1; ; i++) {
      const logB = peak + direction * i * step;
      const found = logWeight(logB);
      const away = found - best;
      if (!(away > -35)) break;
      nodes.push({ logB, weight: Math.exp(away), logWeight: found });
    }
  }
  const total = sum(nodes.map(({ weight }) => weight));
  return nodes.map((node) => ({ ...node, weight: node.weight / total }));
}
