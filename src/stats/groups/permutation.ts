import { scaleToWhole, sum } from "../numeric/moments.ts";
import { createRandom } from "../random/random.ts";

export type Permutation = {
  readonly p: number;
  readonly exact: boolean;
  /** How many ways of splitting the values were looked at. */
  readonly splits: number;
};

/**
 * Sums kept of either half at most: all splits of 44 values, however they are split, and of more where one group is small
 * (4 against 190, 3 against 580, 1 against any number). Half a second's work, and some 100 MB.
 */
const mostSums = 2 ** 22;

/** Values moved in all: beyond a thousand values fewer resamples are drawn, so that 100,000 do not take minutes. */
const mostMoved = 100_000_000;

/**
 * The share of all ways to split the values into groups of these sizes that put the means at least as far apart. All of
 * them are counted without being made one by one: the sums of all choices from either half of the values stand in
 * order, and two fingers run along them. Where even the halves have too many, a random sample of the splits from the
 * seed, with the observed one counted in; for more than a thousand values a smaller one.
 * Source: E. S. Edgington, Randomization Tests (1995); E. Horowitz and S. Sahni, J. ACM 21 (1974), 277-292, for the halves;
 * B. Phipson and G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 9 (2010) for the count of the observed one.
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
  const observed = Math.abs(sum(scaled.slice(0, a.length)) * n - total * a.length) * (1 - 1e-12);
  const size = Math.min(a.length, b.length);
  const half = Math.floor(n / 2);
  const middle = total * size;
  if (sumsOf(n - half, size) <= mostSums) {
    const splits = binomial(n, a.length);
    if (observed <= 0) return { p: 1, exact: true, splits };
    const left = orderedSums(scaled.subarray(0, half), size);
    const right = orderedSums(scaled.subarray(half), size);
    return { p: countFar(left, right, size, n, middle, observed) / splits, exact: true, splits };
  }
  const random = createRandom(seed);
  const drawn = Math.min(resamples, Math.max(99, Math.floor(mostMoved / n)));
  const shuffled = Float64Array.from(scaled);
  let asFar = 1;
  for (let i = 0; i < drawn; i++) {
    // As many places as the smaller group has are filled by chance; whichever values stood there before does not matter.
    let sumOfGroup = 0;
    for (let k = 0; k < size; k++) {
      const from = k + random.below(n - k);
      const value = shuffled[from] as number;
      shuffled[from] = shuffled[k] as number;
      shuffled[k] = value;
      sumOfGroup += value;
    }
    if (Math.abs(sumOfGroup * n - middle) >= observed) asFar += 1;
  }
  return { p: asFar / (drawn + 1), exact: false, splits: drawn + 1 };
}

/** How many choices of up to `size` of n values there are. */
function sumsOf(n: number, size: number): number {
  let count = 0;
  // Past the limit it does not matter by how much.
  for (let k = 0; k <= Math.min(n, size) && count <= mostSums; k++) count += binomial(n, k);
  return count;
}

/** The sums of all choices of 0, 1, … values, by how many: those of k stand ascending from `from[k]` up to `to[k]`. */
type Sums = {
  /** Before each stands −∞, at which a finger that runs downward stops without looking for its end. */
  readonly list: Float64Array;
  readonly from: Int32Array;
  readonly to: Int32Array;
};

/**
 * The sums of all choices of 0, 1, … `most` of the values. They are merged in order where they stand, value by value, in
 * one list: a few calls find this loop compiled, where a list for each merge took two to three times as long.
 */
function orderedSums(values: Float64Array, most: number): Sums {
  const sizes = Math.min(most, values.length);
  const from = new Int32Array(sizes + 1);
  let end = 0;
  for (let k = 0; k <= sizes; k++) {
    from[k] = end + 1;
    end += 1 + binomial(values.length, k);
  }
  const list = new Float64Array(end);
  for (let k = 0; k <= sizes; k++) list[(from[k] as number) - 1] = Number.NEGATIVE_INFINITY;
  const to = from.slice();
  to[0] = 2;
  // Merging value by value goes over each list about values/size times; where one group is small, sorting is quicker.
  if (values.length > 20 * sizes) {
    for (let k = 1; k <= sizes; k++) {
      to[k] = layAllSums(values, k, list, from[k] as number);
      list.subarray(from[k], to[k]).sort();
    }
    return { list, from, to };
  }
  for (let v = 0; v < values.length; v++) {
    const value = values[v] as number;
    for (let k = Math.min(sizes, v + 1); k >= 1; k--) {
      // From above: the sums of k that were there already, and those of one less with this value, into the room behind.
      const first = from[k - 1] as number;
      let other = (to[k - 1] as number) - 1;
      let own = (to[k] as number) - 1;
      let at = own + other - first + 1;
      to[k] = at + 1;
      while (other >= first) {
        const here = list[own] as number;
        const there = (list[other] as number) + value;
        if (there >= here) {
          list[at] = there;
          other--;
        } else {
          list[at] = here;
          own--;
        }
        at--;
      }
    }
  }
  return { list, from, to };
}

/** Lays the sums of all choices of `size` values into the list, in no order; answers the place behind the last. */
function layAllSums(values: Float64Array, size: number, list: Float64Array, from: number): number {
  let at = from;
  const visit = (first: number, left: number, sumSoFar: number) => {
    if (left === 0) {
      list[at++] = sumSoFar;
      return;
    }
    for (let i = first; i <= values.length - left; i++)
      visit(i + 1, left - 1, sumSoFar + (values[i] as number));
  };
  visit(0, size, 0);
  return at;
}

/** How many choices of `size` values, some from either half, have a sum whose n-fold lies `observed` or more from the middle. */
function countFar(
  left: Sums,
  right: Sums,
  size: number,
  n: number,
  middle: number,
  observed: number,
): number {
  const [here, there] = [left.list, right.list];
  let count = 0;
  for (let k = Math.max(0, size - right.to.length + 1); k < left.to.length; k++) {
    const [first, end] = [right.from[size - k] as number, right.to[size - k] as number];
    // As `here` grows, less is needed from `there`: the last that is not far above and the last that is far below move down.
    let above = end - 1;
    let below = end - 1;
    for (let i = left.from[k] as number; i < (left.to[k] as number); i++) {
      const sumHere = here[i] as number;
      while ((sumHere + (there[above] as number)) * n - middle >= observed) above--;
      while ((sumHere + (there[below] as number)) * n - middle > -observed) below--;
      count += end - above + (below - first);
    }
  }
  return count;
}

/** n over k, as a number that may be rounded or infinite where it is huge. */
export function binomial(n: number, k: number): number {
  let result = 1;
  for (let i = 1; i <= Math.min(k, n - k); i++)
    result = Math.round((result * (n - Math.min(k, n - k) + i)) / i);
  return result;
}
