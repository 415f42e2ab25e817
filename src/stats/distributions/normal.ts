import { erfc, scaledErfc } from "../special/error-function.ts";

/** The share of a standard normal population below x; accurate in the lower tail down to the smallest doubles. */
export function normalCdf(x: number): number {
  return 0.5 * erfc(-x / Math.SQRT2);
}

/** The share above x; accurate in the upper tail. */
export function normalUpper(x: number): number {
  return 0.5 * erfc(x / Math.SQRT2);
}

/** The logarithm of the share above x, also where the share itself is too small for a double. */
export function logNormalUpper(x: number): number {
  if (x < 1) return Math.log1p(-normalCdf(x));
  return Math.log(0.5 * scaledErfc(x / Math.SQRT2)) - 0.5 * x * x;
}

/** The density at x. */
export function normalDensity(x: number): number {
  return Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
}

/** Density over the share above, at x: how fast the survivors fail. */
export function normalHazard(x: number): number {
  if (x < 0) return normalDensity(x) / normalUpper(x);
  return Math.sqrt(2 / Math.PI) / scaledErfc(x / Math.SQRT2);
}

/**
 * The value below which the share p lies, for 0 < p < 1; infinite at 0 and 1.
 * Method: a rational start (Abramowitz and Stegun 26.2.23, within 4.5e-4), then Halley steps on the logarithm of the
 * tail, which hold from 1e-300 to the middle.
 */
export function normalQuantile(p: number): number {
  if (p === 0.5) return 0;
  if (p > 0.5) return -lowerTailQuantile(1 - p);
  return lowerTailQuantile(p);
}

/** The value above which the share p lies: `normalQuantile(1 - p)` without losing a small p. */
export function normalUpperQuantile(p: number): number {
  return -normalQuantile(p);
}

function lowerTailQuantile(p: number): number {
  if (p <= 0) return Number.NEGATIVE_INFINITY;
  const t = Math.sqrt(-2 * Math.log(p));
  let x =
    (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308))) - t;
  for (let round = 0; round < 3; round++) {
    // With g = log Φ: g' = φ/Φ and g'' = −g'(x + g').
    const hazard = normalHazard(-x);
    const excess = logNormalUpper(-x) - Math.log(p);
    const newton = excess / hazard;
    x -= newton / (1 + 0.5 * newton * (x + hazard));
  }
  return x;
}
