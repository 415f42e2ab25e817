import { betaTails } from "../special/beta.ts";
import type { Tails } from "../special/gamma.ts";
import { normalQuantile } from "./normal.ts";
import { realQuantile } from "./quantile.ts";

/** Both tails of Student's t with df > 0 degrees of freedom (not only whole ones): DLMF 8.17, I(ν/(ν + t²); ν/2, ½). */
export function studentTTails(t: number, df: number): Tails {
  const square = t * t;
  if (square === Number.POSITIVE_INFINITY) return t > 0 ? { lower: 1, upper: 0 } : { lower: 0, upper: 1 };
  const { lower } = betaTails(df / (df + square), square / (df + square), df / 2, 0.5);
  const tail = 0.5 * lower;
  return t > 0 ? { lower: 1 - tail, upper: tail } : { lower: tail, upper: 1 - tail };
}

/** The share below t. */
export function studentTCdf(t: number, df: number): number {
  return studentTTails(t, df).lower;
}

/** The share farther from zero than t, on both sides: the p-value of a two-sided t test. */
export function studentTTwoSided(t: number, df: number): number {
  return 2 * studentTTails(-Math.abs(t), df).lower;
}

/** The value below which the share p lies. */
export function studentTQuantile(p: number, df: number): number {
  if (p === 0.5) return 0;
  if (p > 0.5) return -studentTQuantile(1 - p, df);
  // One degree of freedom in closed form: it is also the start for few degrees of freedom, where tails are long.
  const cauchy = -1 / Math.tan(Math.PI * p);
  if (df === 1) return cauchy;
  const normal = normalQuantile(p);
  const guess = df < 3 ? -(Math.abs(cauchy) ** (1 / df)) : normal * (1 + (normal * normal + 1) / (4 * df));
  return realQuantile((t) => studentTTails(t, df), p, guess, 0.1 * Math.max(Math.abs(guess), 0.1));
}
