import { excessOverLog, nonZero, stirlingRest, type Tails } from "./gamma.ts";

/**
 * The regularised incomplete beta function I(x; a, b) and its complement, for a, b > 0 and 0 ≤ x ≤ 1. `y` is 1 − x,
 * given apart so that neither end loses digits.
 * Formula: the continued fraction DLMF 8.17.22 by Lentz's method, on the side of the mean where it converges fast; its
 * factor in the form of C. Loader (2000), which holds at a, b = 1e6 too.
 */
export function betaTails(x: number, y: number, a: number, b: number): Tails {
  if (x <= 0) return { lower: 0, upper: 1 };
  if (y <= 0) return { lower: 1, upper: 0 };
  if (x <= (a + 1) / (a + b + 2)) {
    const lower = betaWeight(x, y, a, b) * betaFraction(x, a, b);
    return { lower: Math.min(lower, 1), upper: Math.max(1 - lower, 0) };
  }
  const upper = betaWeight(y, x, b, a) * betaFraction(y, b, a);
  return { lower: Math.max(1 - upper, 0), upper: Math.min(upper, 1) };
}

/** I(x; a, b); see `betaTails`. */
export function betaRegularized(x: number, a: number, b: number): number {
  return betaTails(x, 1 - x, a, b).lower;
}

/** xᵃ yᵇ / (a B(a, b)). */
function betaWeight(x: number, y: number, a: number, b: number): number {
  const n = a + b;
  const away = a * excessOverLog((n * x) / a) + b * excessOverLog((n * y) / b);
  const rest = stirlingRest(n) - stirlingRest(a) - stirlingRest(b);
  return Math.exp(rest - away) * Math.sqrt(b / (2 * Math.PI * n * a));
}

function betaFraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    const factor = d * c;
    h *= factor;
    if (Math.abs(factor - 1) < 2e-16) break;
  }
  return h;
}
