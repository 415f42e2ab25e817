import { betaTails } from "../special/beta.ts";
import type { Tails } from "../special/gamma.ts";
import { normalDensity, normalQuantile, normalUpper } from "./normal.ts";
import { realQuantile } from "./quantile.ts";

/**
 * Both tails of Student's t with df > 0 degrees of freedom (not only whole ones): DLMF 8.17, I(ν/(ν + t²); ν/2, ½), and
 * from 20,000 degrees on, where that loses a digit with every ten times more of them, by what the law lacks of a normal
 * one.
 */
export function studentTTails(t: number, df: number): Tails {
  const square = t * t;
  if (square === Number.POSITIVE_INFINITY) return t > 0 ? { lower: 1, upper: 0 } : { lower: 0, upper: 1 };
  const tail =
    df < 20_000
      ? 0.5 * betaTails(df / (df + square), square / (df + square), df / 2, 0.5).lower
      : nearlyNormalTail(square, df);
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

/**
 * The share above |t| for many degrees of freedom ν. Over x = √((ν − ½) log(1 + t²/ν)) the density of t is, but for a
 * constant, exp(−x²/2) √(h/sinh h) with h = x²/(2ν − 1), and √(h/sinh h) = 1 − h²/12 + h⁴/160 − …; at ν = 20,000 the next
 * term is below 1e-12 even of a tail of 1e-300. The integrals of x⁴ and x⁸ are by parts.
 */
function nearlyNormalTail(square: number, df: number): number {
  const s = square / df;
  // So small a ratio may have lost digits, or be nothing at all where df has no end.
  const x = s < 1e-290 ? Math.sqrt(square) : Math.sqrt((df - 0.5) * Math.log1p(s));
  const [upper, density] = [normalUpper(x), normalDensity(x)];
  const fourth = x * (x * x + 3) * density + 3 * upper;
  const eighth = x * (((x * x + 7) * x * x + 35) * x * x + 105) * density + 105 * upper;
  const first = 1 / (12 * (2 * df - 1) ** 2);
  const second = 1 / (160 * (2 * df - 1) ** 4);
  return (upper - first * fourth + second * eighth) / (1 - 3 * first + 105 * second);
}
