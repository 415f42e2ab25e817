import { stirlingRest, type Tails } from "../special/gamma.ts";
import { normalCdf, normalDensity } from "./normal.ts";
import { positiveQuantile } from "./quantile.ts";

/**
 * Both tails of the studentized range: the range of `groups` normal means over an independent standard deviation with
 * df degrees of freedom. For 2 to some hundred groups, df ≥ 1 (not only whole ones, as Games-Howell needs).
 * Formula: ∫ W(q s) f(s) ds, W the law of the range, k ∫ φ(z)[Φ(z) − Φ(z − w)]ᵏ⁻¹ dz, f the density of s = √(χ²/df);
 * trapezium rule for both, over z and over log s, where both integrands are analytic and die away.
 * Source: H. L. Harter, Tables of range and studentized range, Ann. Math. Statist. 31 (1960), 1122-1147.
 */
export function studentizedRangeTails(q: number, groups: number, df: number): Tails {
  if (q <= 0) return { lower: 0, upper: 1 };
  const logPeak = Math.LN2 + 0.5 * Math.log(df / 2) - 0.5 * Math.log(2 * Math.PI) - stirlingRest(df / 2);
  const step = Math.min(0.1, 0.6 / Math.sqrt(2 * df + 9));
  const left = -Math.min(60 / df + 0.5, Math.sqrt(60 / df) * 1.5 + 20 / df);
  const right = Math.min(Math.sqrt(60 / df), 0.5 * Math.log1p(120 / df + 8));
  const nodes = nodesOf(groups);
  let lower = 0;
  let upper = 0;
  for (let i = Math.ceil(left / step); i * step <= right; i++) {
    const x = i * step;
    const weight = Math.exp(logPeak - 0.5 * df * (Math.expm1(2 * x) - 2 * x));
    if (weight < 1e-30) continue;
    const range = rangeTails(q * Math.exp(x), nodes, groups);
    lower += weight * range.lower;
    upper += weight * range.upper;
  }
  return { lower: Math.min(lower * step, 1), upper: Math.min(upper * step, 1) };
}

/** The share below q; see `studentizedRangeTails`. */
export function studentizedRangeCdf(q: number, groups: number, df: number): number {
  return studentizedRangeTails(q, groups, df).lower;
}

/** The value below which the share p lies. */
export function studentizedRangeQuantile(p: number, groups: number, df: number): number {
  return positiveQuantile((q) => studentizedRangeTails(q, groups, df), p, 3);
}

/** Grid of the inner integral over z: φ is below 1e-19 beyond 9, and a step of 1/4 leaves an error below 1e-16. */
const gridStep = 0.25;
const grid = Array.from({ length: 73 }, (_, i) => {
  const z = (i - 36) * gridStep;
  return { z, density: normalDensity(z) * gridStep, below: normalCdf(z) };
});

type Node = { readonly z: number; readonly below: number; readonly all: number };
const gridOf = new Map<number, readonly Node[]>();

/**
 * The grid with what k values leave of the density at each place. Far down, where that is next to nothing, the share that
 * leaves the range is smallest too, so those places are left out.
 */
function nodesOf(k: number): readonly Node[] {
  const known = gridOf.get(k);
  if (known !== undefined) return known;
  const nodes = grid
    .map(({ z, density, below }) => ({ z, below, all: k * density * below ** (k - 1) }))
    .filter(({ z, all }) => z > 0 || all > 1e-22);
  if (gridOf.size > 100) gridOf.clear();
  gridOf.set(k, nodes);
  return nodes;
}

/** Both tails of the range of k standard normal values; the upper one is a sum of positive parts and keeps its digits. */
function rangeTails(w: number, nodes: readonly Node[], k: number): Tails {
  let lower = 0;
  let upper = 0;
  for (const { z, below, all } of nodes) {
    // Beyond 38 the normal tail is no number any more.
    const left = z - w < -38 ? 0 : normalCdf(z - w) / below;
    // 1 − (1 − left)^(k − 1), written out for few groups.
    const missed = k === 2 ? left : k === 3 ? left * (2 - left) : -Math.expm1((k - 1) * Math.log1p(-left));
    upper += all * missed;
    lower += all * (1 - missed);
  }
  return { lower, upper };
}
