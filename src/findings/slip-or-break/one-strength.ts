import { sumUpperSlopes, type UpperSums } from "../../stats/mod.ts";

/**
 * One of the two strengths, of pulls without covariates, gathered bury by bury: of those that show it the number, mean and
 * squares, which are all that a normal law asks for, of the others a list. A climb looks at the same pulls five times or
 * more, so this halves its time; what it adds up is what the loop over all pulls does, and a test holds the two together.
 */
export type OneStrength = {
  /** Reads the sample anew. */
  readonly gather: () => void;
  /** The height of the pulls at a place where the strength's logarithm has this mean; its derivatives go into `slopes`. */
  readonly look: (place: number, mean: number, logScatter: number, perScatter: number) => number;
  /** By the mean once and twice, by mean and log scatter, and by log scatter once and twice. */
  readonly slopes: {
    mean: number;
    meanTwice: number;
    meanAndScatter: number;
    scatter: number;
    scatterTwice: number;
  };
};

/** Logarithms of strengths, and how each pull ended; both may change between one `gather` and the next. */
export type Ends = { readonly n: number; readonly y: Float64Array; readonly kind: Uint8Array };

const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

/** `shown`: the outcome that shows the strength; of the others it is known to lie above. */
export function createOneStrength(
  { n, y, kind }: Ends,
  shown: number,
  places: number,
  placeOf: Int32Array,
): OneStrength {
  const count = new Float64Array(places);
  const centre = new Float64Array(places);
  const squares = new Float64Array(places);
  // The others' logarithms, those of one place after those of the one before.
  const above = new Float64Array(n);
  const ends = new Int32Array(places);
  const sums: UpperSums = { value: 0, first: 0, firstByZ: 0, second: 0, secondByZ: 0, secondByZZ: 0 };
  const slopes: OneStrength["slopes"] = {
    mean: 0,
    meanTwice: 0,
    meanAndScatter: 0,
    scatter: 0,
    scatterTwice: 0,
  };

  const gather = () => {
    for (let k = 0; k < places; k++) {
      count[k] = 0;
      centre[k] = 0;
      squares[k] = 0;
      ends[k] = 0;
    }
    for (let i = 0; i < n; i++) {
      const k = placeOf[i] as number;
      if (kind[i] !== shown) {
        ends[k] = (ends[k] as number) + 1;
        continue;
      }
      // Mean and squares about it, value by value (B. P. Welford, Technometrics 4 (1962), 419-420).
      const number = (count[k] as number) + 1;
      const off = (y[i] as number) - (centre[k] as number);
      count[k] = number;
      centre[k] = (centre[k] as number) + off / number;
      squares[k] = (squares[k] as number) + off * ((y[i] as number) - (centre[k] as number));
    }
    let from = 0;
    for (let k = 0; k < places; k++) {
      const many = ends[k] as number;
      ends[k] = from;
      from += many;
    }
    for (let i = 0; i < n; i++) {
      if (kind[i] === shown) continue;
      const k = placeOf[i] as number;
      above[ends[k] as number] = y[i] as number;
      ends[k] = (ends[k] as number) + 1;
    }
  };

  const look = (place: number, mean: number, logScatter: number, perScatter: number) => {
    const number = count[place] as number;
    const off = ((centre[place] as number) - mean) * perScatter;
    const sum = number * off;
    const square = (squares[place] as number) * perScatter * perScatter + off * sum;
    const from = place === 0 ? 0 : (ends[place - 1] as number);
    sumUpperSlopes(above, from, ends[place] as number, mean, perScatter, sums);
    slopes.mean = (sum - sums.first) * perScatter;
    slopes.meanTwice = (sums.second - number) * perScatter * perScatter;
    slopes.meanAndScatter = (sums.secondByZ + sums.first - 2 * sum) * perScatter;
    slopes.scatter = square - number - sums.firstByZ;
    slopes.scatterTwice = sums.secondByZZ + sums.firstByZ - 2 * square;
    return sums.value - 0.5 * square - number * (logScatter + halfLogTwoPi);
  };

  gather();
  return { gather, look, slopes };
}
