import { logNormalUpper, normalHazard } from "./normal.ts";

/** Three numbers about one place: the logarithm of the normal share above it, and its first two derivatives. */
export type UpperSlopes = { value: number; first: number; second: number };

/**
 * The logarithm of the share of a standard normal population above z with its first two derivatives, for loops that ask
 * millions of times: a sixth of the time of `logNormalUpper` and `normalHazard` together.
 *
 * z: any finite number. The answer is written into `into`, so that nothing is allocated.
 * Errors against the plain functions stay below 2e-13 (value), 1e-11 (first) and 1e-9 (second), relative where the
 * figure is above 1; below −8.5 all three are 0, which is off by less than 1e-16.
 * Method: a quintic through value and both derivatives at steps of 1/32 (Hermite's interpolation), beyond 12.5 the plain functions.
 * With h the hazard, the derivatives are −h and −h(h − z).
 *
 * @example
 * const at = { value: 0, first: 0, second: 0 };
 * logUpperSlopes(0, at);
 * at.value // -0.6931471805599453
 */
export function logUpperSlopes(z: number, into: UpperSlopes): void {
  if (z < lowest) {
    into.value = 0;
    into.first = 0;
    into.second = 0;
    return;
  }
  if (!(z < highest)) {
    plainSlopes(z, into);
    return;
  }
  const place = (z - lowest) * perUnit;
  const cell = place | 0;
  const u = place - cell;
  const at = 6 * cell;
  // A place in the table: cell < cells, so each of the six is there.
  const c1 = table[at + 1] as number;
  const c2 = table[at + 2] as number;
  const c3 = table[at + 3] as number;
  const c4 = table[at + 4] as number;
  const c5 = table[at + 5] as number;
  into.value = (table[at] as number) + u * (c1 + u * (c2 + u * (c3 + u * (c4 + u * c5))));
  into.first = perUnit * (c1 + u * (2 * c2 + u * (3 * c3 + u * (4 * c4 + u * 5 * c5))));
  into.second = perUnit * perUnit * (2 * c2 + u * (6 * c3 + u * (12 * c4 + u * 20 * c5)));
}

/** Sums over a list of places z of what `logUpperSlopes` gives, with the powers of z that second derivatives of a scale want. */
export type UpperSums = {
  value: number;
  first: number;
  firstByZ: number;
  second: number;
  secondByZ: number;
  secondByZZ: number;
};

/**
 * The same for the places z = (value − mean)·perScatter of the values from one number up to another, summed: what a sample
 * asks for in which these values are only known to lie higher. A third of the time of a call for each.
 *
 * @example
 * const sums = { value: 0, first: 0, firstByZ: 0, second: 0, secondByZ: 0, secondByZZ: 0 };
 * sumUpperSlopes(Float64Array.of(1, 1), 0, 2, 1, 5, sums);
 * sums.value // -1.3862943611198906
 */
export function sumUpperSlopes(
  values: Float64Array,
  from: number,
  to: number,
  mean: number,
  perScatter: number,
  into: UpperSums,
): void {
  let value = 0;
  let first = 0;
  let firstByZ = 0;
  let second = 0;
  let secondByZ = 0;
  let secondByZZ = 0;
  for (let i = from; i < to; i++) {
    const z = ((values[i] as number) - mean) * perScatter;
    if (z < lowest) continue;
    let v: number;
    let d: number;
    let dd: number;
    if (z < highest) {
      const place = (z - lowest) * perUnit;
      const cell = place | 0;
      const u = place - cell;
      const at = 6 * cell;
      const c1 = table[at + 1] as number;
      const c2 = table[at + 2] as number;
      const c3 = table[at + 3] as number;
      const c4 = table[at + 4] as number;
      const c5 = table[at + 5] as number;
      v = (table[at] as number) + u * (c1 + u * (c2 + u * (c3 + u * (c4 + u * c5))));
      d = perUnit * (c1 + u * (2 * c2 + u * (3 * c3 + u * (4 * c4 + u * 5 * c5))));
      dd = perUnit * perUnit * (2 * c2 + u * (6 * c3 + u * (12 * c4 + u * 20 * c5)));
    } else {
      plainSlopes(z, beyond);
      v = beyond.value;
      d = beyond.first;
      dd = beyond.second;
    }
    value += v;
    first += d;
    firstByZ += z * d;
    second += dd;
    secondByZ += z * dd;
    secondByZZ += z * z * dd;
  }
  into.value = value;
  into.first = first;
  into.firstByZ = firstByZ;
  into.second = second;
  into.secondByZ = secondByZ;
  into.secondByZZ = secondByZZ;
}

const beyond: UpperSlopes = { value: 0, first: 0, second: 0 };
const lowest = -8.5;
const highest = 12.5;
const perUnit = 32;
const cells = (highest - lowest) * perUnit;
const table = makeTable();

function plainSlopes(z: number, into: UpperSlopes): void {
  const hazard = normalHazard(z);
  into.value = logNormalUpper(z);
  into.first = -hazard;
  into.second = -hazard * (hazard - z);
}

function makeTable(): Float64Array {
  const coefficients = new Float64Array(6 * cells);
  const left = { value: 0, first: 0, second: 0 };
  const right = { value: 0, first: 0, second: 0 };
  const h = 1 / perUnit;
  for (let cell = 0; cell < cells; cell++) {
    const z = lowest + cell * h;
    plainSlopes(z, left);
    plainSlopes(z + h, right);
    const c1 = h * left.first;
    const c2 = 0.5 * h * h * left.second;
    // What the left end's parabola leaves over at the right end, in value and both derivatives.
    const d0 = right.value - left.value - c1 - c2;
    const d1 = h * right.first - c1 - 2 * c2;
    const d2 = h * h * right.second - 2 * c2;
    coefficients.set(
      [left.value, c1, c2, 10 * d0 - 4 * d1 + 0.5 * d2, -15 * d0 + 7 * d1 - d2, 6 * d0 - 3 * d1 + 0.5 * d2],
      6 * cell,
    );
  }
  return coefficients;
}
