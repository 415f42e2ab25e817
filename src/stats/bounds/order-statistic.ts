import { binomialAtLeast } from "../distributions/binomial.ts";

/** Which order statistic bounds a share of any population, and how many values the first one needs. */
export type OrderStatistic = {
  /** Counted from 1, the lowest; absent where n is too small for any. */
  readonly order?: number;
  /** The least n at which the lowest value is such a bound. */
  readonly needs: number;
};

/**
 * Which of n ordered values lies below the stated share of the population with the stated confidence, whatever its law.
 *
 * n a whole number from 0; content and confidence fractions between 0 and 1.
 * Formula: the largest r with P(Binomial(n, 1 − content) ≥ r) ≥ confidence; the lowest value needs
 * 1 − contentⁿ ≥ confidence.
 * Source: S. S. Wilks, Ann. Math. Statist. 12 (1941), 91-96; CMH-17-1G, 8.5.4 (from memory).
 *
 * @example
 * distributionFreeOrder({ n: 46, content: 0.9, confidence: 0.95 }) // { order: 2, needs: 29 }
 */
export function distributionFreeOrder(input: {
  readonly n: number;
  readonly content: number;
  readonly confidence: number;
}): OrderStatistic {
  const { n, content, confidence } = input;
  // P(Binomial(5, ½) ≥ 3) is ½ to the last digit, but worked out it may come one rounding short of a confidence of ½.
  const asked = confidence * (1 - 1e-12);
  const reaches = (order: number, size: number) => binomialAtLeast(order, size, 1 - content) >= asked;
  let needs = Math.max(1, Math.ceil(Math.log1p(-confidence) / Math.log(content)));
  // The logarithms may be off by one count at a boundary.
  while (needs > 1 && reaches(1, needs - 1)) needs -= 1;
  while (!reaches(1, needs)) needs += 1;
  if (n < needs) return { needs };
  let order = 1;
  let beyond = n + 1;
  while (beyond - order > 1) {
    const middle = Math.floor((order + beyond) / 2);
    if (reaches(middle, n)) order = middle;
    else beyond = middle;
  }
  return { order, needs };
}
