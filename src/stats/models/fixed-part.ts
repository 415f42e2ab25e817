import { factor, reflect } from "../numeric/least-squares.ts";
import { norm } from "../numeric/moments.ts";

/** Fixed effects and response made ready for a mixed model: orthonormal columns, and what least squares leaves. */
export type FixedPart = {
  /** Orthonormal, and spanning what the fixed effects span. */
  readonly columns: readonly Float64Array[];
  /** What plain least squares leaves of the response, over `scale`: of length 1. */
  readonly response: Float64Array;
  readonly scale: number;
  /** The response's length, to judge what is left of it. */
  readonly length: number;
  /** Coefficients of the columns as given, from those on the orthonormal ones. */
  readonly coefficients: (onBasis: ArrayLike<number>) => number[];
  /** For each coefficient its weights on the orthonormal columns. */
  readonly combinations: readonly (readonly number[])[];
  /** The log determinant of the matrix that turns the orthonormal columns into those given. */
  readonly logDeterminant: number;
};

/** By Householder's QR; or the number of the first column that depends on those before it. */
export function fixedPartOf(
  given: readonly (readonly number[])[],
  response: readonly number[],
): FixedPart | number {
  const n = response.length;
  const p = given.length;
  const scales = given.map((column) => norm(column) || 1);
  const { reflectors, r, dependent } = factor(
    given.map((column, j) => {
      const scaled = new Float64Array(n);
      for (let i = 0; i < n; i++) scaled[i] = (column[i] as number) / (scales[j] as number);
      return scaled;
    }),
  );
  if (dependent !== undefined) return dependent;
  const columns = given.map((_, j) => {
    const unit = new Float64Array(n);
    unit[j] = 1;
    for (let k = p - 1; k >= 0; k--) reflect(reflectors[k] as Float64Array, unit);
    return unit;
  });
  const left = new Float64Array(n);
  for (let i = 0; i < n; i++) left[i] = response[i] as number;
  const onBasis = new Float64Array(p);
  // Twice: what rounding leaves of the columns after the first time is as large as the last digit of the response.
  for (let round = 0; round < 2; round++)
    for (let j = 0; j < p; j++) {
      const column = columns[j] as Float64Array;
      let share = 0;
      for (let i = 0; i < n; i++) share += (column[i] as number) * (left[i] as number);
      for (let i = 0; i < n; i++) left[i] = (left[i] as number) - share * (column[i] as number);
      onBasis[j] = (onBasis[j] as number) + share;
    }
  const scale = norm(left);
  for (let i = 0; i < n; i++) left[i] = (left[i] as number) / (scale || 1);
  const solve = (right: ArrayLike<number>) => {
    const b = new Array<number>(p).fill(0);
    for (let j = p - 1; j >= 0; j--) {
      let value = right[j] as number;
      for (let k = j + 1; k < p; k++) value -= (r[k]?.[j] as number) * (b[k] as number);
      b[j] = value / (r[j]?.[j] as number);
    }
    return b.map((value, j) => value / (scales[j] as number));
  };
  const units = given.map((_, j) => solve(given.map((_, k) => (k === j ? 1 : 0))));
  return {
    columns,
    response: left,
    scale,
    length: norm(response),
    coefficients: (more) => solve(onBasis.map((value, j) => value + (more[j] as number) * scale)),
    combinations: given.map((_, j) => units.map((unit) => unit[j] as number)),
    logDeterminant: r.reduce(
      (total, column, j) => total + Math.log(Math.abs(column[j] as number) * (scales[j] as number)),
      0,
    ),
  };
}
