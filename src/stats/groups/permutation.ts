import { scaleToWhole, sum } from "../numeric/moments.ts";
import { createRandom } from "../random/random.ts";

export type Permutation = {
  readonly p: number;
  readonly exact: boolean;
  /** How many ways of splitting the values were looked at. */
  readonly splits: number;
};

/** Up to this many splits are all looked at: a second's work. */
const allOf = 2_000_000;

/** Values moved in all: beyond a thousand values fewer resamples are drawn, so that a million do not take hours. */
const mostMoved = 100_000_000;

/**
 * The share of all ways to split the values into groups of these sizes that put the means at least as far apart. Where
 * there are too many ways, a random sample of them from the seed, with the observed one counted in; for more than a thousand values a smaller one.
 * Source: E. S. Edgington, Randomization Tests (1995); B. Phipson and G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 9 (2010)
 * for the count of the observed one.
 */
export function permutationTest(
  a: readonly number[],
  b: readonly number[],
  resamples: number,
  seed: number,
): Permutation {
  // Whole numbers wherever the values are decimals: then equal sums are equal to the last bit.
  const { scaled } = scaleToWhole([...a, ...b]);
  const n = scaled.length;
  const total = sum(scaled);
  const far = (sumOfA: number) => Math.abs(sumOfA * n - total * a.length);
  const observed = far(sum(scaled.slice(0, a.length))) * (1 - 1e-12);
  const splits = binomial(n, a.length);
  if (splits <= allOf) {
    let asFar = 0;
    const visit = (from: number, left: number, sumSoFar: number) => {
      if (left === 0) {
        if (far(sumSoFar) >= observed) asFar += 1;
        return;
      }
      for (let i = from; i <= n - left; i++) visit(i + 1, left - 1, sumSoFar + (scaled[i] as number));
    };
    visit(0, a.length, 0);
    return { p: asFar / splits, exact: true, splits };
  }
  const random = createRandom(seed);
  const drawn = Math.min(resamples, Math.max(99, Math.floor(mostMoved / n)));
  let asFar = 1;
  for (let i = 0; i < drawn; i++) {
    const shuffled = random.shuffle(scaled);
    let sumOfA = 0;
    for (let k = 0; k < a.length; k++) sumOfA += shuffled[k] as number;
    if (far(sumOfA) >= observed) asFar += 1;
  }
  return { p: asFar / (drawn + 1), exact: false, splits: drawn + 1 };
}

/** n over k, as a number that may be rounded or infinite where it is huge. */
export function binomial(n: number, k: number): number {
  let result = 1;
  for (let i = 1; i <= Math.min(k, n - k); i++)
    result = Math.round((result * (n - Math.min(k, n - k) + i)) / i);
  return result;
}
