/**
 * The natural logarithm of the gamma function, for x > 0; absolute error about 1e-15 times the larger of 1 and result.
 * Formula: Stirling's series (DLMF 5.11.1) at x ≥ 10, reached by the recurrence Γ(x + 1) = x Γ(x).
 */
export function logGamma(x: number): number {
  return (x - 0.5) * Math.log(x) - x + halfLogTwoPi + stirlingRest(x);
}

/**
 * What Stirling's formula leaves over: logΓ(x) − (x − ½) log x + x − ½ log 2π, for x > 0. It stays accurate where logΓ
 * itself grows large and would lose its digits in a difference.
 */
export function stirlingRest(x: number): number {
  if (x >= 10) return stirlingSeries(x);
  let shifted = x;
  let product = 1;
  while (shifted < 10) {
    product *= shifted;
    shifted += 1;
  }
  const logGammaShifted = (shifted - 0.5) * Math.log(shifted) - shifted + stirlingSeries(shifted);
  return logGammaShifted - Math.log(product) - ((x - 0.5) * Math.log(x) - x);
}

/**
 * r − 1 − log r without cancellation near r = 1, for r > 0: the exponent of gamma, Poisson and binomial laws near
 * their centre.
 * Formula: with d = r − 1 and s = d/(2 + d), log r = 2(s + s³/3 + s⁵/5 + …), so the result is
 * d·s − 2(s³/3 + s⁵/5 + …).
 * Source: C. Loader, Fast and accurate computation of binomial probabilities (2000).
 */
export function excessOverLog(r: number): number {
  const d = r - 1;
  // Written so that NaN, too, leaves here and not from the loop below.
  if (!(Math.abs(d) <= 0.2)) return d - Math.log(r);
  const s = d / (2 + d);
  const square = s * s;
  let power = 2 * s * square;
  let sum = d * s;
  for (let odd = 3; ; odd += 2) {
    const next = sum - power / odd;
    if (next === sum) return sum;
    sum = next;
    power *= square;
  }
}

/** Both tails of a law, each accurate by itself however small it is. */
export type Tails = { readonly lower: number; readonly upper: number };

/**
 * The regularised incomplete gamma functions P(a, x) and Q(a, x) = 1 − P, for a > 0 and x ≥ 0.
 * Formula: the series DLMF 8.11.4 below x = a + 1, the continued fraction DLMF 8.9.2 above, by Lentz's method.
 */
export function gammaRegularized(a: number, x: number): Tails {
  if (x <= 0) return { lower: 0, upper: 1 };
  if (x === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 };
  if (x < a + 1) {
    const lower = gammaWeight(a, x) * gammaSeries(a, x);
    return { lower: Math.min(lower, 1), upper: Math.max(1 - lower, 0) };
  }
  const upper = gammaWeight(a, x) * a * gammaFraction(a, x);
  return { lower: Math.max(1 - upper, 0), upper: Math.min(upper, 1) };
}

/** P(a, x); see `gammaRegularized`. */
export function gammaRegularizedLower(a: number, x: number): number {
  return gammaRegularized(a, x).lower;
}

/** Q(a, x); see `gammaRegularized`. */
export function gammaRegularizedUpper(a: number, x: number): number {
  return gammaRegularized(a, x).upper;
}

const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

/** B₂ₖ / (2k(2k − 1) x²ᵏ⁻¹), k = 1 to 7; the next term is below 3e-17 at x = 10. */
function stirlingSeries(x: number): number {
  const y = 1 / (x * x);
  return (
    (1 / 12 -
      y * (1 / 360 - y * (1 / 1260 - y * (1 / 1680 - y * (1 / 1188 - y * (691 / 360360 - y / 156)))))) /
    x
  );
}

/** xᵃ e⁻ˣ / Γ(a + 1). */
function gammaWeight(a: number, x: number): number {
  if (a < 1) return Math.exp(a * Math.log(x) - x - logGamma(a + 1));
  return Math.exp(-a * excessOverLog(x / a) - stirlingRest(a)) / Math.sqrt(2 * Math.PI * a);
}

function gammaSeries(a: number, x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= x / (a + k);
    sum += term;
  }
  return sum;
}

/** 1/(x + 1 − a − 1(1 − a)/(x + 3 − a − …)). */
function gammaFraction(a: number, x: number): number {
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let k = 1; k < 100_000; k++) {
    const coefficient = -k * (k - a);
    b += 2;
    d = 1 / nonZero(coefficient * d + b);
    c = nonZero(b + coefficient / c);
    const factor = c * d;
    h *= factor;
    if (Math.abs(factor - 1) < 2e-16) break;
  }
  return h;
}

/** Lentz's method divides by these; zero is moved out of the way. */
export function nonZero(value: number): number {
  return value === 0 ? 1e-300 : value;
}
