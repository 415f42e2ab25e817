import { exactDot } from "./double-double.ts";
import { norm } from "./moments.ts";

/** A column-scaled least-squares problem, solved. Columns and rows count from 0. */
export type LeastSquares = {
  readonly coefficients: Float64Array;
  readonly residuals: Float64Array;
  /** (XᵀX)⁻¹ Xᵀ, row by row for each coefficient: its inner products give variances. */
  readonly influence: readonly Float64Array[];
  /** How much each row draws its own fitted value. */
  readonly leverage: Float64Array;
};

/**
 * Least squares by Householder's QR on columns scaled to length 1, refined with residuals in doubled precision.
 * `columns`: p columns of n ≥ p values. Returns the number of the first column that depends on those before it, instead,
 * where there is one.
 * Source: Å. Björck, Numerical Methods for Least Squares Problems (1996), 2.3 and 2.9 (refinement of the augmented
 * system).
 */
export function leastSquares(
  columns: readonly (readonly number[])[],
  response: readonly number[],
): LeastSquares | number {
  const n = response.length;
  const p = columns.length;
  const scales = columns.map((column) => 2 ** -Math.round(Math.log2(norm(column) || 1)));
  const x = columns.map((column, j) => Float64Array.from(column, (value) => value * (scales[j] as number)));
  const { reflectors, r, dependent } = factor(x.map((column) => column.slice()));
  if (dependent !== undefined) return dependent;
  const applyQ = (vector: Float64Array, transposed: boolean) => {
    for (let k = 0; k < p; k++) reflect(reflectors[transposed ? k : p - 1 - k] as Float64Array, vector);
    return vector;
  };
  // Rᵀ h = g, then R b = d − h.
  const solveTransposed = (g: Float64Array) => {
    const h = new Float64Array(p);
    for (let j = 0; j < p; j++) {
      let value = g[j] as number;
      for (let i = 0; i < j; i++) value -= (r[j]?.[i] as number) * (h[i] as number);
      h[j] = value / (r[j]?.[j] as number);
    }
    return h;
  };
  const solve = (d: Float64Array) => {
    const b = new Float64Array(p);
    for (let j = p - 1; j >= 0; j--) {
      let value = d[j] as number;
      for (let k = j + 1; k < p; k++) value -= (r[k]?.[j] as number) * (b[k] as number);
      b[j] = value / (r[j]?.[j] as number);
    }
    return b;
  };
  const beta = new Float64Array(p);
  const residuals = new Float64Array(n);
  const row = new Float64Array(p);
  for (let round = 0; round < 6; round++) {
    const against = beta.map((value) => -value);
    const f1 = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < p; j++) row[j] = x[j]?.[i] as number;
      f1[i] = exactDot((response[i] as number) - (residuals[i] as number), row, against);
    }
    const f2 = Float64Array.from(x, (column) => -exactDot(0, column, residuals));
    const h = solveTransposed(f2);
    const d = applyQ(f1, true);
    const step = solve(Float64Array.from(h, (value, j) => (d[j] as number) - value));
    for (let j = 0; j < p; j++) {
      beta[j] = (beta[j] as number) + (step[j] as number);
      d[j] = h[j] as number;
    }
    const change = applyQ(d, false);
    for (let i = 0; i < n; i++) residuals[i] = (residuals[i] as number) + (change[i] as number);
  }
  const basis = Array.from({ length: p }, (_, j) => {
    const unit = new Float64Array(n);
    unit[j] = 1;
    return applyQ(unit, false);
  });
  const leverage = new Float64Array(n);
  for (const q of basis)
    for (let i = 0; i < n; i++) leverage[i] = (leverage[i] as number) + (q[i] as number) ** 2;
  const influence = x.map(() => new Float64Array(n));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < p; j++) row[j] = basis[j]?.[i] as number;
    const solved = solve(row);
    for (let j = 0; j < p; j++)
      (influence[j] as Float64Array)[i] = (solved[j] as number) * (scales[j] as number);
  }
  return {
    coefficients: beta.map((value, j) => value * (scales[j] as number)),
    residuals,
    influence,
    leverage,
  };
}

/**
 * Householder reflectors, which take the place of the columns given, and R by columns: r[k] holds what column k has in rows
 * 0 to k. `dependent` is the number of the first column that depends on those before it, where there is one. Columns of
 * length near 1.
 */
export function factor(columns: readonly Float64Array[]) {
  const reflectors: Float64Array[] = [];
  const r: Float64Array[] = [];
  for (let k = 0; k < columns.length; k++) {
    const v = columns[k] as Float64Array;
    const length = norm(v, k);
    // What is left of a column of length near 1, against rounding.
    if (!(length > 1e-14 * Math.sqrt(v.length))) return { reflectors, r, dependent: k };
    const own = new Float64Array(k + 1);
    const first = v[k] as number;
    for (let i = 0; i < k; i++) {
      own[i] = v[i] as number;
      v[i] = 0;
    }
    v[k] = first + Math.sign(first || 1) * length;
    // What is left of the column itself, below which all is 0: v and the column differ in row k alone.
    let square = (v[k] as number) * (v[k] as number);
    let dot = (v[k] as number) * first;
    for (let i = k + 1; i < v.length; i++) {
      const part = (v[i] as number) * (v[i] as number);
      square += part;
      dot += part;
    }
    own[k] = first - ((2 * dot) / square) * (v[k] as number);
    for (let j = k + 1; j < columns.length; j++) reflect(v, columns[j] as Float64Array);
    reflectors.push(v);
    r.push(own);
  }
  return { reflectors, r, dependent: undefined };
}

/** vector − 2 v (v·vector)/(v·v), in place. */
export function reflect(v: Float64Array, vector: Float64Array): void {
  let dot = 0;
  let square = 0;
  for (let i = 0; i < v.length; i++) {
    dot += (v[i] as number) * (vector[i] as number);
    square += (v[i] as number) * (v[i] as number);
  }
  const times = (2 * dot) / square;
  for (let i = 0; i < v.length; i++) vector[i] = (vector[i] as number) - times * (v[i] as number);
}
