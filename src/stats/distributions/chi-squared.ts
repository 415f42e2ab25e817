import { gammaRegularized, type Tails } from "../special/gamma.ts";
import { normalQuantile } from "./normal.ts";
import { positiveQuantile } from "./quantile.ts";

/** Both tails of chi-squared with df > 0 degrees of freedom: P(df/2, x/2) and Q(df/2, x/2). */
export function chiSquaredTails(x: number, df: number): Tails {
  return gammaRegularized(df / 2, x / 2);
}

/** The value below which the share p lies; the start is Wilson and Hilferty's cube (1931). */
export function chiSquaredQuantile(p: number, df: number): number {
  const spread = 2 / (9 * df);
  const cube = 1 - spread + normalQuantile(p) * Math.sqrt(spread);
  return positiveQuantile((x) => chiSquaredTails(x, df), p, cube > 0.1 ? df * cube ** 3 : df * 1e-3);
}
