import { scaledErfc } from "../special/error-function.ts";
import { stirlingRest, type Tails } from "../special/gamma.ts";
import { chiSquaredTails } from "./chi-squared.ts";
import { normalDensity, normalQuantile, normalUpper } from "./normal.ts";
import { realQuantile } from "./quantile.ts";

/**
 * Both tails of the non-central t: the share below and above t of (Z + ncp)/√(χ²/df). For df ≥ 1 (not only whole ones),
 * any shift; tested at df from 1 to 1e6 and shifts to 4e3. Relative error about 1e-13, also in either tail.
 * Formula: ∫ Φ(t s − ncp) f(s) ds, f the density of s = √(χ²/df). Over x = log s the integrand dies away on both
 * sides and is analytic, so the trapezium rule converges faster than any power of its step (Trefethen and Weideman,
 * SIAM Review 56, 2014). Series such as AS 243 underflow from a shift of about 38 on.
 */
export function nonCentralTTails(t: number, df: number, ncp: number): Tails {
  if (t < 0) return mirrored(nonCentralTTails(-t, df, -ncp));
  const { left, right } = endsOf(df, farFall);
  // Where Φ is 0 or 1 to the last digit all over the density, there is nothing to add up.
  if (t * Math.exp(right) - ncp < -38) return { lower: 0, upper: 1 };
  if (t * Math.exp(left) - ncp > 38) return { lower: 1, upper: 0 };
  if (isCliff(t, df, ncp)) return overNormal(t, df, ncp);
  const { spreads, weights } = nodesOf(df, ncp, farFall);
  let lower = 0;
  let upper = 0;
  for (let i = 0; i < spreads.length; i++) {
    const weight = weights[i] as number;
    const z = t * (spreads[i] as number) - ncp;
    const tail = normalUpper(Math.abs(z));
    lower += weight * (z > 0 ? 1 - tail : tail);
    upper += weight * (z > 0 ? tail : 1 - tail);
  }
  return { lower: Math.min(lower, 1), upper: Math.min(upper, 1) };
}

/** The same integral taken over Z instead: for shifts so large that Φ is a cliff within a wide density. */
function overNormal(t: number, df: number, ncp: number): Tails {
  const step = 0.2;
  let lower = 0;
  let upper = 0;
  for (let i = -45; i <= 45; i++) {
    const z = i * step;
    const { lower: below, upper: above } = chiSquaredTails(df * ((z + ncp) / t) ** 2, df);
    lower += normalDensity(z) * above;
    upper += normalDensity(z) * below;
  }
  return { lower: Math.min(lower * step, 1), upper: Math.min(upper * step, 1) };
}

function isCliff(t: number, df: number, ncp: number): boolean {
  return ncp > 30 && t * t > 50 * df;
}

function mirrored({ lower, upper }: Tails): Tails {
  return { lower: upper, upper: lower };
}

/** The share below t; see `nonCentralTTails`. */
export function nonCentralTCdf(t: number, df: number, ncp: number): number {
  return nonCentralTTails(t, df, ncp).lower;
}

/**
 * The value below which the share p lies, to the last digits or two.
 *
 * The nodes of the integral do not hang on t, so they are laid once, and the density and its slope come with the tail: from a
 * start by the normal law, Halley's steps on the logarithm of the smaller tail are there after three. Where they are led
 * astray, as in the long tails of one or two degrees of freedom, the plain search finds it.
 */
export function nonCentralTQuantile(p: number, df: number, ncp: number): number {
  if (p <= 0) return Number.NEGATIVE_INFINITY;
  if (p >= 1) return Number.POSITIVE_INFINITY;
  const z = normalQuantile(p);
  const start = nearlyNormalQuantile(z, df, ncp);
  const found = isCliff(start, df, Math.abs(ncp)) ? undefined : byHalley(p, df, ncp, start);
  if (found !== undefined) return found;
  const spread = Math.sqrt(1 + (ncp * ncp) / (2 * df));
  return realQuantile((t) => nonCentralTTails(t, df, ncp), p, ncp + z * spread, 0.2 * spread);
}

/** Undefined where the steps do not come to rest. */
function byHalley(p: number, df: number, ncp: number, start: number): number | undefined {
  const { spreads, weights } = nodesOf(df, ncp, 40 - Math.log(Math.min(p, 1 - p)));
  const side = p > 0.5 ? 1 : -1;
  const aim = p > 0.5 ? Math.log1p(-p) : Math.log(p);
  let [low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  let t = start;
  for (let round = 0; round < 8; round++) {
    let tail = 0;
    let density = 0;
    let slope = 0;
    for (let i = 0; i < spreads.length; i++) {
      const spread = spreads[i] as number;
      const weight = weights[i] as number;
      const z = t * spread - ncp;
      const size = Math.abs(z);
      // One exponential for density and tail alike: they are most of the time that all this takes.
      const steep = Math.exp(-0.5 * size * size);
      const beyond = 0.5 * steep * scaledErfc(size * Math.SQRT1_2);
      tail += weight * (side * z > 0 ? beyond : 1 - beyond);
      const part = weight * spread * steep;
      density += part;
      slope -= part * spread * z;
    }
    // Of the logarithm of the tail.
    const excess = Math.log(tail) - aim;
    const first = (-side * density) / (tail * rootTwoPi);
    const second = (-side * slope) / (tail * rootTwoPi) - first * first;
    if (excess * side > 0) low = t;
    else high = t;
    const newton = excess / first;
    const step = newton / (1 - (0.5 * newton * second) / first);
    t -= step;
    if (!(t >= low && t <= high)) return undefined;
    // The next step would be of the order of this one's third power.
    if (Math.abs(step) < 3e-6 * Math.abs(t)) return t;
  }
  return undefined;
}

const rootTwoPi = Math.sqrt(2 * Math.PI);

/** The t at which t s − ncp is z of its standard deviations, s taken as normal (N. L. Johnson and B. L. Welch, 1940). */
function nearlyNormalQuantile(z: number, df: number, ncp: number): number {
  const mean = 1 - 1 / (4 * df);
  const rest = Math.max(mean * mean - (z * z) / (2 * df), 0.1);
  return (ncp * mean + z * Math.sqrt(rest + (ncp * ncp) / (2 * df))) / rest;
}

/** By how many powers of e the density has fallen at the ends where tails of any size are wanted. */
const farFall = 70;

/** Places s = √(χ²/df) at even steps of x = log s, and their weights in the integral over f(s). */
function nodesOf(df: number, ncp: number, fall: number): { spreads: Float64Array; weights: Float64Array } {
  const { left, right } = endsOf(df, fall);
  // log of the density of x at x = 0, in a form that keeps its digits for large df.
  const logPeak = Math.LN2 + 0.5 * Math.log(df / 2) - 0.5 * Math.log(2 * Math.PI) - stirlingRest(df / 2);
  // Widths: 1/√(2 df) of the density, about 1/|ncp| of the step Φ; 0.1 suits the long left tail at df = 1.
  const slope = Math.abs(ncp) + 3;
  const step = Math.min(0.1, 0.6 / Math.sqrt(2 * df + slope * slope));
  const from = Math.ceil(left / step);
  const count = Math.floor(right / step) - from + 1;
  const spreads = new Float64Array(count);
  const weights = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const x = (from + i) * step;
    spreads[i] = Math.exp(x);
    weights[i] = step * Math.exp(logPeak - 0.5 * df * (Math.expm1(2 * x) - 2 * x));
  }
  return { spreads, weights };
}

/** Where the density of x = log √(χ²/df) has fallen by e^−fall: ½ df (e²ˣ − 1 − 2x) is the fall there or a little more. */
function endsOf(df: number, fall: number): { readonly left: number; readonly right: number } {
  const a = (2 * fall) / df;
  // e⁻ᵘ − 1 + u = a from the right of the root, where Newton's steps cannot pass it: u − 1 is below the left side.
  let u = a + 1;
  for (let round = 0; round < 5; round++) u -= (Math.expm1(-u) + u - a) / -Math.expm1(-u);
  // eᵛ − 1 − v = a: v ≤ √(2a), since the left side is above v²/2.
  return { left: -u / 2, right: 0.5 * Math.log1p(a + Math.sqrt(2 * a)) };
}
