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
  const left = leftEnd(df);
  const right = rightEnd(df);
  // Where Φ is 0 or 1 to the last digit all over the density, there is nothing to add up.
  if (t * Math.exp(right) - ncp < -38) return { lower: 0, upper: 1 };
  if (t * Math.exp(left) - ncp > 38) return { lower: 1, upper: 0 };
  if (ncp > 30 && t * t > 50 * df) return overNormal(t, df, ncp);
  // log of the density of x at x = 0, in a form that keeps its digits for large df.
  const logPeak = Math.LN2 + 0.5 * Math.log(df / 2) - 0.5 * Math.log(2 * Math.PI) - stirlingRest(df / 2);
  // Widths: 1/√(2 df) of the density, about 1/|ncp| of the step Φ; 0.1 suits the long left tail at df = 1.
  const slope = Math.abs(ncp) + 3;
  const step = Math.min(0.1, 0.6 / Math.sqrt(2 * df + slope * slope));
  let lower = 0;
  let upper = 0;
  for (let i = Math.ceil(left / step); i * step <= right; i++) {
    const x = i * step;
    const weight = Math.exp(logPeak - 0.5 * df * (Math.expm1(2 * x) - 2 * x));
    const z = t * Math.exp(x) - ncp;
    const tail = normalUpper(Math.abs(z));
    lower += weight * (z > 0 ? 1 - tail : tail);
    upper += weight * (z > 0 ? tail : 1 - tail);
  }
  return { lower: Math.min(lower * step, 1), upper: Math.min(upper * step, 1) };
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

function mirrored({ lower, upper }: Tails): Tails {
  return { lower: upper, upper: lower };
}

/** The share below t; see `nonCentralTTails`. */
export function nonCentralTCdf(t: number, df: number, ncp: number): number {
  return nonCentralTTails(t, df, ncp).lower;
}

/** The value below which the share p lies. */
export function nonCentralTQuantile(p: number, df: number, ncp: number): number {
  // A normal start with the variance that grows with the shift.
  const z = normalQuantile(p);
  const spread = Math.sqrt(1 + (ncp * ncp) / (2 * df));
  return realQuantile((t) => nonCentralTTails(t, df, ncp), p, ncp + z * spread, 0.2 * spread);
}

/** Where the density of x = log √(χ²/df) has fallen by e⁻⁷⁰ to the left: −df(x + ½) − … ≈ 70 far out, a parabola near. */
function leftEnd(df: number): number {
  return -Math.min(70 / df + 0.5, Math.sqrt(70 / df) * 1.5 + 70 / (3 * df));
}

function rightEnd(df: number): number {
  // ½ df (e²ˣ − 1 − 2x) = 70 at most here, since e²ˣ − 1 − 2x ≥ 2x².
  return Math.min(Math.sqrt(70 / df), 0.5 * Math.log1p(140 / df + 8));
}
