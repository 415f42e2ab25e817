import { integrate } from "../numeric/gauss-legendre.ts";
import { findRootFrom } from "../numeric/root.ts";
import { betaTails } from "../special/beta.ts";
import { stirlingRest } from "../special/gamma.ts";

/**
 * How far below the lowest of n ordered values a bound must lie, in steps of the distance to another of them, for any
 * population whose logarithm of the distribution function is concave (the usual ones): bound x(j) − z (x(j) − x(1)).
 *
 * n ≥ 2; upperOrder j from 2 to n; content and confidence between 0 and 1. Result: z, at least 1; at 1 the lowest value
 * itself is the bound.
 * Formula: P(z log U(1) + (1 − z) log U(j) ≤ log(1 − content)) = confidence for uniform order statistics; given
 * U(j) = u, U(1)/u is the least of j − 1 uniforms, which leaves one integral over u.
 * Source: D. L. Hanson and L. H. Koopmans, Ann. Math. Statist. 35 (1964), 1561-1570; M. Vangel, Commun. Statist. Simul.
 * Comput. 23 (1994), 1137-1154.
 *
 * @example
 * hansonKoopmansFactor({ n: 11, upperOrder: 6, content: 0.9, confidence: 0.95 }) // 2.0312134, Vangel's table
 */
export function hansonKoopmansFactor(input: {
  readonly n: number;
  readonly upperOrder: number;
  readonly content: number;
  readonly confidence: number;
}): number {
  const { n, upperOrder: j, content, confidence } = input;
  // At z = 1 the bound is the lowest value, which clears with 1 − contentⁿ.
  if (-Math.expm1(n * Math.log(content)) >= confidence) return 1;
  const share = 1 - content;
  const below = betaTails(share, content, j, n - j + 1).lower;
  const logConstant = logBetaConstant(j, n - j + 1);
  const reached = (z: number) => {
    // Over t = log(u / share), from 0 to −log share.
    const part = integrate(
      (t) => {
        const u = share * Math.exp(t);
        const logDensity = logConstant + (j - 1) * Math.log(u) + (n - j) * Math.log1p(-u);
        return -Math.expm1((j - 1) * Math.log(-Math.expm1(-t / z))) * Math.exp(logDensity) * u;
      },
      0,
      -Math.log(share),
      48,
    );
    return below + part;
  };
  return Math.exp(findRootFrom((logZ) => reached(Math.exp(logZ)) - confidence, 0.5, 0.5));
}

/** log of 1/B(a, b). */
function logBetaConstant(a: number, b: number): number {
  const n = a + b;
  return (
    0.5 * Math.log((a * b) / (2 * Math.PI * n)) +
    stirlingRest(n) -
    stirlingRest(a) -
    stirlingRest(b) +
    a * Math.log(n / a) +
    b * Math.log(n / b)
  );
}
