import { betaTails } from "../special/beta.ts";
import { excessOverLog, stirlingRest, type Tails } from "../special/gamma.ts";
import { chiSquaredTails } from "./chi-squared.ts";
import { positiveQuantile } from "./quantile.ts";

/** Both tails of Fisher's F with df1 and df2 degrees of freedom: I(df1 x/(df1 x + df2); df1/2, df2/2). */
export function fTails(x: number, df1: number, df2: number): Tails {
  const sum = df1 * x + df2;
  if (sum === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 };
  return betaTails((df1 * x) / sum, df2 / sum, df1 / 2, df2 / 2);
}

/** The value below which the share p lies. */
export function fQuantile(p: number, df1: number, df2: number): number {
  return positiveQuantile((x) => fTails(x, df1, df2), p, 1);
}

/**
 * The share above x of the non-central F with non-centrality `ncp` (the sum of squared shifts over the variance).
 * Formula: a Poisson(ncp/2) mixture of beta tails (Johnson, Kotz and Balakrishnan, vol. 2, 30.3), summed from the
 * largest weight outward. Beyond ncp = 1e6 the numerator is taken at its mean, from which it strays by 0.2 % only.
 */
export function nonCentralFUpper(x: number, df1: number, df2: number, ncp: number): number {
  const sum = df1 * x + df2;
  if (ncp > 1e6) return chiSquaredTails((df2 * (df1 + ncp)) / (df1 * x), df2).lower;
  const rate = ncp / 2;
  const upper = (j: number) => betaTails((df1 * x) / sum, df2 / sum, df1 / 2 + j, df2 / 2).upper;
  const top = Math.floor(rate);
  const weightAtTop =
    top === 0
      ? Math.exp(-rate)
      : Math.exp(-top * excessOverLog(rate / top) - stirlingRest(top)) / Math.sqrt(2 * Math.PI * top);
  let total = weightAtTop * upper(top);
  let weight = weightAtTop;
  for (let j = top - 1; j >= 0 && weight > 1e-18; j--) {
    weight *= (j + 1) / rate;
    total += weight * upper(j);
  }
  weight = weightAtTop;
  for (let j = top + 1; weight > 1e-18; j++) {
    weight *= rate / j;
    total += weight * upper(j);
  }
  return Math.min(total, 1);
}
