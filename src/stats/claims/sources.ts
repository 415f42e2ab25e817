import { sum } from "../numeric/moments.ts";

/** Weights 1/(variance + τ²) of several sources, their total, and the mean by them. */
export function weigh(y: readonly number[], variances: readonly number[], tau2: number) {
  const weights = variances.map((variance) => 1 / (variance + tau2));
  const total = sum(weights);
  return { weights, total, mean: sum(y.map((value, i) => value * (weights[i] as number))) / total };
}

/** The freedom that Q has left at these weights: (Σw)² less Σw², over Σw, added up without taking anything away. */
export function freedomOf(weights: readonly number[], total: number): number {
  let before = 0;
  let pairs = 0;
  for (const weight of weights) {
    pairs += weight * before;
    before += weight;
  }
  return (2 * pairs) / total;
}

/** Cochran's Q with a variance between sources put into the weights. A search asks for it thousands of times. */
export function excess(y: readonly number[], variances: readonly number[], tau2: number): number {
  let total = 0;
  let weighed = 0;
  for (let i = 0; i < y.length; i++) {
    const weight = 1 / ((variances[i] as number) + tau2);
    total += weight;
    weighed += weight * (y[i] as number);
  }
  const mean = weighed / total;
  let squares = 0;
  for (let i = 0; i < y.length; i++) {
    const off = (y[i] as number) - mean;
    squares += (off * off) / ((variances[i] as number) + tau2);
  }
  return squares;
}

/** Their squares about the plain mean: a variance between sources above every estimate of it. */
export function aboveAll(y: readonly number[]): number {
  const centre = sum(y) / y.length;
  return sum(y.map((value) => (value - centre) ** 2)) + Number.MIN_VALUE;
}
