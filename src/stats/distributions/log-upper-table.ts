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
