import { chiSquaredQuantile, chiSquaredTails } from "../distributions/chi-squared.ts";
import { normalCdf } from "../distributions/normal.ts";
import { gaussLegendre } from "../numeric/gauss-legendre.ts";
import { sum } from "../numeric/moments.ts";
import { findRoot, findRootFrom } from "../numeric/root.ts";
import { aboveAll, excess, weigh } from "./sources.ts";

/**
 * Where the true value of the next source would lie, with all that is not known of the scatter between sources.
 *
 * Cochran's Q with the variance τ² between sources in its weights is chi-squared with k − 1 degrees of freedom, and falls as τ²
 * grows: each quantile of chi-squared gives one τ², 0 where Q lies below it even so. At each of them the next value is normal
 * about the weighed mean with variance τ² + 1/Σw; the interval holds the middle share of all these laws together.
 * Source: K. Nagashima, H. Noma and T. A. Furukawa, Stat. Methods Med. Res. 28 (2019), 1689-1702 (the confidence distribution
 * of τ², there by another Q and drawn by chance); W. Viechtbauer, Statist. Med. 26 (2007), 37-52 (this Q).
 */
export function nextSource(
  y: readonly number[],
  variances: readonly number[],
  confidence: number,
): readonly [low: number, high: number] {
  const laws = lawsOfNext(y, variances);
  const middle = sum(laws.map(({ share, mean }) => share * mean));
  const nearest = Math.min(...laws.map(({ sd }) => sd));
  const at = (quantile: number) =>
    findRootFrom(
      (x) => sum(laws.map(({ share, mean, sd }) => share * normalCdf((x - mean) / sd))) - quantile,
      middle,
      nearest,
    );
  return [at(0.5 - confidence / 2), at(0.5 + confidence / 2)];
}

/** One law of the next value, and the share that it has. */
type Law = { readonly share: number; readonly mean: number; readonly sd: number };

const nodes = gaussLegendre(64);
/** Many sources say the scatter between them so well that fewer nodes do. */
const fewNodes = gaussLegendre(24);

function lawsOfNext(y: readonly number[], variances: readonly number[]): Law[] {
  const lawAt = (tau2: number, share: number): Law => {
    const { mean, total } = weigh(y, variances, tau2);
    return { share, mean, sd: Math.sqrt(tau2 + 1 / total) };
  };
  const df = y.length - 1;
  const { lower: some, upper: none } = chiSquaredTails(excess(y, variances, 0), df);
  if (!(some > 1e-12)) return [lawAt(0, 1)];
  // By the cube the nodes lie close together where the quantile is small and τ² large: the tails hang on those.
  const laws = (df < 100 ? nodes : fewNodes).map(({ at, weight }) => {
    const quantile = chiSquaredQuantile(some * at ** 3, df);
    return lawAt(tau2At(y, variances, quantile), some * 3 * at * at * weight);
  });
  return [...laws, lawAt(0, none)];
}

/** The variance between sources at which Q is the quantile; Q is below the squares over that variance. */
function tau2At(y: readonly number[], variances: readonly number[], quantile: number): number {
  const over = (tau2: number) => excess(y, variances, tau2) - quantile;
  return over(0) <= 0 ? 0 : findRoot(over, 0, (2 * aboveAll(y)) / quantile);
}
