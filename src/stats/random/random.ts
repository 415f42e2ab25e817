/** A source of chance that gives the same numbers for the same seed, in every place. */
export type Random = {
  /** Uniform in [0, 1), 53 bits. */
  readonly uniform: () => number;
  /** Standard normal. */
  readonly normal: () => number;
  /** A whole number from 0 to below n, for n up to 2^53. */
  readonly below: (n: number) => number;
  /**
   * Whole numbers from 0 to below n, into a whole list, from half as many bits each: no number is likelier than another by
   * more than n in 2^32. For n up to 2^31.
   */
  readonly fillBelow: (list: Int32Array, n: number) => void;
  /** Sums of `count` values each into a list, drawn by the numbers that `fillBelow` would give and added one after the other. */
  readonly fillSums: (list: Float64Array, values: Float64Array, count: number) => void;
  /** Standard normals into two lists of one length, in turn: those that `normal` would give from the start of a pair. */
  readonly fillNormals: (list: Float64Array, other: Float64Array) => void;
  /** The values in a random order, as a new list. */
  readonly shuffle: <T>(values: readonly T[]) => T[];
};

/**
 * Makes a source of chance from a seed, any number.
 * Method: xoshiro128** (D. Blackman and S. Vigna, Scrambled linear pseudorandom number generators, ACM Trans. Math.
 * Softw. 47, 2021), its state filled by a SplitMix counter; normals by Marsaglia's polar method; shuffles by
 * Fisher and Yates.
 *
 * @example
 * const random = createRandom(7);
 * random.shuffle(["A", "B", "C"]).length // 3
 */
export function createRandom(seed: number): Random {
  const { bits, fillBelow, fillSums, fillNormals } = xoshiro128(seed);
  const uniform = () => uniformOf(bits(), bits());
  let spare: number | undefined;
  const normal = () => {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s > 0 && s < 1) {
        const scale = Math.sqrt((-2 * Math.log(s)) / s);
        spare = v * scale;
        return u * scale;
      }
    }
  };
  const below = (n: number) => Math.floor(uniform() * n);
  const shuffle = <T>(values: readonly T[]): T[] => {
    const shuffled = [...values];
    for (let i = shuffled.length - 1; i > 0; i--) {
      const j = below(i + 1);
      [shuffled[i], shuffled[j]] = [shuffled[j] as T, shuffled[i] as T];
    }
    return shuffled;
  };
  return { uniform, normal, below, fillBelow, fillSums, fillNormals, shuffle };
}

function xoshiro128(seed: number) {
  const number = new DataView(new ArrayBuffer(8));
  number.setFloat64(0, seed);
  let counter = Math.imul(number.getUint32(0), 0x85ebca6b) ^ number.getUint32(4);
  // SplitMix32: a Weyl counter through the finaliser of MurmurHash3.
  const fill = () => {
    counter = (counter + 0x9e3779b9) | 0;
    let z = counter;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return z ^ (z >>> 16);
  };
  let [a, b, c, d] = [fill(), fill(), fill(), fill()];
  // Words times `part`, their whole parts, into the first places of a list. The state is held aside meanwhile.
  const fillWords = (list: Int32Array, count: number, part: number) => {
    let [p, q, r, s] = [a | 0, b | 0, c | 0, d | 0];
    for (let i = 0; i < count; i++) {
      const scrambled = Math.imul(rotate(Math.imul(q, 5), 7), 9) >>> 0;
      const shifted = q << 9;
      r ^= p;
      s ^= q;
      q ^= r;
      p ^= s;
      r ^= shifted;
      s = rotate(s, 11);
      // A list of whole numbers drops the fraction.
      list[i] = scrambled * part;
    }
    [a, b, c, d] = [p, q, r, s];
  };
  // The same step for a word alone, in half the time.
  const bits = () => {
    const scrambled = Math.imul(rotate(Math.imul(b, 5), 7), 9);
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = rotate(d, 11);
    return scrambled;
  };
  const fillBelow = (list: Int32Array, n: number) => fillWords(list, list.length, n / 2 ** 32);
  // Once more without the list: the additions run beside the steps, which makes a bootstrap of the mean a third quicker.
  const fillSums = (list: Float64Array, values: Float64Array, count: number) => {
    let [p, q, r, s] = [a | 0, b | 0, c | 0, d | 0];
    const part = values.length / 2 ** 32;
    for (let k = 0; k < list.length; k++) {
      let sum = 0;
      for (let i = 0; i < count; i++) {
        const scrambled = Math.imul(rotate(Math.imul(q, 5), 7), 9) >>> 0;
        const shifted = q << 9;
        r ^= p;
        s ^= q;
        q ^= r;
        p ^= s;
        r ^= shifted;
        s = rotate(s, 11);
        sum += values[(scrambled * part) | 0] as number;
      }
      list[k] = sum;
    }
    [a, b, c, d] = [p, q, r, s];
  };
  // Pairs by the same polar method and from the same bits as single ones: as many words at a time as the pairs still
  // wanted take at least.
  const fillNormals = (list: Float64Array, other: Float64Array) => {
    for (let made = 0; made < list.length; ) {
      const count = Math.min(4 * (list.length - made), words.length);
      fillWords(words, count, 1);
      for (let k = 0; k < count; k += 4) {
        const u = 2 * uniformOf(words[k] as number, words[k + 1] as number) - 1;
        const v = 2 * uniformOf(words[k + 2] as number, words[k + 3] as number) - 1;
        const square = u * u + v * v;
        if (!(square > 0 && square < 1)) continue;
        const scale = Math.sqrt((-2 * Math.log(square)) / square);
        list[made] = u * scale;
        other[made] = v * scale;
        made++;
      }
    }
  };
  return { bits, fillBelow, fillSums, fillNormals };
}

/** Room for words of whichever source is asked: sources are made by the thousand, one for each resample. */
const words = new Int32Array(256);

/** 53 bits out of two words. */
function uniformOf(upper: number, lower: number): number {
  return ((upper >>> 5) * 67108864 + (lower >>> 6)) / 9007199254740992;
}

function rotate(word: number, by: number): number {
  return (word << by) | (word >>> (32 - by));
}
