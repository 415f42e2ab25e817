import { symmetricEigen } from "../numeric/symmetric.ts";
import { largest } from "../values.ts";

/**
 * A symmetric positive matrix of `size` rows, row after row, whose last row is that of the response: what is left of it once
 * all others are eliminated. Of the cross-products of a mixed model that is the weighted sum of squares; the determinant of
 * the others is that of the random effects times that of the fixed ones.
 */
export type Profile = {
  readonly size: number;
  readonly logDeterminant: number;
  readonly squares: number;
  /** Of the matrix without its last row and column. */
  readonly inverse: Float64Array;
  /** Minus the solution, and 1: its product with the matrix leaves the squares. */
  readonly direction: Float64Array;
};

/** How a profile changes along a parameter: `matrix` is the derivative of its matrix. */
export type Slope = {
  readonly matrix: Float64Array;
  readonly logDeterminant: number;
  readonly squares: number;
  readonly along: Float64Array;
  /** inverse × matrix, without the last row and column. */
  readonly turned: Float64Array;
};

/** Memory for a profile that the next one may take over. */
export type Room = Pick<Profile, "inverse" | "direction"> & { readonly lower: Float64Array };

export function roomFor(size: number): Room {
  const d = size - 1;
  return {
    lower: new Float64Array(d * d),
    inverse: new Float64Array(d * d),
    direction: new Float64Array(size),
  };
}

/** Nothing where a pivot is lost: the matrix is not positive to the digits that there are. */
export function profileOf(matrix: Float64Array, size: number, room = roomFor(size)): Profile | undefined {
  const d = size - 1;
  const { lower, inverse, direction } = room;
  let logDeterminant = 0;
  for (let i = 0; i < d; i++) {
    for (let j = 0; j <= i; j++) {
      let value = matrix[i * size + j] as number;
      for (let k = 0; k < j; k++) value -= (lower[i * d + k] as number) * (lower[j * d + k] as number);
      if (j < i) lower[i * d + j] = value / (lower[j * d + j] as number);
      else if (value > 0) {
        lower[i * d + i] = Math.sqrt(value);
        logDeterminant += Math.log(value);
      } else return undefined;
    }
  }
  // The inverse of the factor in place, then its transpose times itself.
  for (let j = 0; j < d; j++) {
    lower[j * d + j] = 1 / (lower[j * d + j] as number);
    for (let i = j + 1; i < d; i++) {
      let value = 0;
      for (let k = j; k < i; k++) value -= (lower[i * d + k] as number) * (lower[k * d + j] as number);
      lower[i * d + j] = value / (lower[i * d + i] as number);
    }
  }
  for (let i = 0; i < inverse.length; i++) inverse[i] = 0;
  for (let k = 0; k < d; k++)
    for (let i = 0; i <= k; i++) {
      const times = lower[k * d + i] as number;
      if (times === 0) continue;
      for (let j = 0; j <= i; j++)
        inverse[i * d + j] = (inverse[i * d + j] as number) + times * (lower[k * d + j] as number);
    }
  for (let i = 0; i < d; i++) for (let j = 0; j < i; j++) inverse[j * d + i] = inverse[i * d + j] as number;
  for (let j = 0; j < d; j++) direction[j] = 0;
  direction[d] = 1;
  let squares = matrix[d * size + d] as number;
  for (let k = 0; k < d; k++) {
    let part = 0;
    for (let j = 0; j <= k; j++) part += (lower[k * d + j] as number) * (matrix[d * size + j] as number);
    squares -= part * part;
    for (let j = 0; j <= k; j++)
      direction[j] = (direction[j] as number) - part * (lower[k * d + j] as number);
  }
  return { size, logDeterminant, squares, inverse, direction };
}

/**
 * The slopes of the log determinant and of the squares alone, with the squares: by eliminating the matrix, a row at a time,
 * its derivative along with it. Both lower triangles are used up. A search looks at some forty places, and this is a fifth
 * of the work of a profile and its slopes. Nothing where a pivot is lost.
 */
export function eliminateSlopes(
  matrix: Float64Array,
  slope: Float64Array,
  size: number,
): (Pick<Slope, "logDeterminant" | "squares"> & { readonly of: number }) | undefined {
  const d = size - 1;
  let logDeterminant = 0;
  for (let k = 0; k < d; k++) {
    const pivot = matrix[k * size + k] as number;
    const bent = slope[k * size + k] as number;
    if (!(pivot > 0)) return undefined;
    logDeterminant += bent / pivot;
    for (let i = k + 1; i < size; i++) {
      const times = (matrix[i * size + k] as number) / pivot;
      const turning = ((slope[i * size + k] as number) - times * bent) / pivot;
      for (let j = k + 1; j <= i; j++) {
        const value = matrix[j * size + k] as number;
        const at = i * size + j;
        slope[at] = (slope[at] as number) - turning * value - times * (slope[j * size + k] as number);
        matrix[at] = (matrix[at] as number) - times * value;
      }
    }
  }
  const last = size * size - 1;
  return { logDeterminant, squares: slope[last] as number, of: matrix[last] as number };
}

/** First derivatives of the log determinant and of the squares. */
export function slopesOf(
  { size, inverse, direction }: Profile,
  matrix: Float64Array,
): Pick<Slope, "logDeterminant" | "squares"> {
  const d = size - 1;
  let [logDeterminant, squares] = [0, 0];
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) {
      const value = matrix[i * size + j] as number;
      if (value === 0) continue;
      squares += (direction[i] as number) * value * (direction[j] as number);
      if (i < d && j < d) logDeterminant += (inverse[i * d + j] as number) * value;
    }
  return { logDeterminant, squares };
}

/** The same with what second derivatives need. */
export function slopeOf(profile: Profile, matrix: Float64Array): Slope {
  const { size, inverse, direction } = profile;
  const d = size - 1;
  const along = new Float64Array(size);
  const turned = new Float64Array(d * d);
  for (let k = 0; k < size; k++)
    for (let j = 0; j < size; j++) {
      const value = matrix[k * size + j] as number;
      if (value === 0) continue;
      along[k] = (along[k] as number) + value * (direction[j] as number);
      if (k < d && j < d)
        for (let i = 0; i < d; i++)
          turned[i * d + j] = (turned[i * d + j] as number) + (inverse[i * d + k] as number) * value;
    }
  return { matrix, ...slopesOf(profile, matrix), along, turned };
}

/** Second derivatives along two parameters; `matrix` is the second derivative of the matrix. */
export function bendOf(
  profile: Profile,
  a: Slope,
  b: Slope,
  matrix: Float64Array,
): { readonly logDeterminant: number; readonly squares: number } {
  const d = profile.size - 1;
  let { logDeterminant, squares } = slopesOf(profile, matrix);
  for (let i = 0; i < d; i++)
    for (let j = 0; j < d; j++) {
      logDeterminant -= (a.turned[i * d + j] as number) * (b.turned[j * d + i] as number);
      squares -= 2 * (a.along[i] as number) * (profile.inverse[i * d + j] as number) * (b.along[j] as number);
    }
  return { logDeterminant, squares };
}

export type Bends = readonly (readonly { readonly logDeterminant: number; readonly squares: number }[])[];

/**
 * Satterthwaite's degrees of freedom of combinations of the fixed effects: 2 C²/(gᵀ A g), C the variance, g its slopes in
 * the parameters and in the logarithm of the residual variance, A twice the inverse of the criterion's second derivatives.
 *
 * `freedom`: rows less fixed effects; each combination: weights of the last rows before the response's. Directions in which
 * the criterion does not bend, as at a variance of 0, tell nothing and are left out.
 * Source: F. E. Satterthwaite, Biometrics Bulletin 2 (1946), 110-114; F. G. Giesbrecht and J. C. Burns, Biometrics 41
 * (1985), 477-486.
 */
export function satterthwaite(
  profile: Profile,
  slopes: readonly Slope[],
  bends: Bends,
  freedom: number,
  combinations: readonly (readonly number[])[],
): number[] {
  const variance = profile.squares / freedom;
  const last = slopes.length;
  const hessian = slopes.map((slope, i) => {
    const row = slopes.map((_, j) => {
      const { logDeterminant, squares } = (bends[i] as Bends[number])[j] as Bends[number][number];
      return logDeterminant + squares / variance;
    });
    row.push(-slope.squares / variance);
    return row;
  });
  hessian.push([...slopes.map((slope) => -slope.squares / variance), freedom]);
  const { values, vectors } = symmetricEigen(hessian);
  const flat = 1e-9 * largest(values);
  const turned = slopes.map((slope) => inverseTurned(profile, slope));
  const gradient = new Float64Array(last + 1);
  return combinations.map((weights) => {
    const own = quadratic(profile, profile.inverse, weights);
    for (let i = 0; i < last; i++) gradient[i] = -quadratic(profile, turned[i] as Float64Array, weights);
    gradient[last] = own;
    let doubt = 0;
    for (let i = 0; i <= last; i++) {
      const value = values[i] as number;
      const vector = vectors[i] as number[];
      let part = 0;
      for (let j = 0; j <= last; j++) part += (vector[j] as number) * (gradient[j] as number);
      if (value > flat) doubt += (2 * part * part) / value;
    }
    return (2 * own * own) / doubt;
  });
}

/** wᵀ M w over the rows of the fixed effects, which are the last. */
export function quadratic({ size }: Profile, matrix: Float64Array, weights: readonly number[]): number {
  const d = size - 1;
  const from = d - weights.length;
  let total = 0;
  for (let i = 0; i < weights.length; i++)
    for (let j = 0; j < weights.length; j++)
      total +=
        (weights[i] as number) * (weights[j] as number) * (matrix[(from + i) * d + from + j] as number);
  return total;
}

function inverseTurned({ size, inverse }: Profile, { turned }: Slope): Float64Array {
  const d = size - 1;
  const out = new Float64Array(d * d);
  for (let i = 0; i < d; i++)
    for (let k = 0; k < d; k++) {
      const times = turned[i * d + k] as number;
      if (times === 0) continue;
      for (let j = 0; j < d; j++)
        out[i * d + j] = (out[i * d + j] as number) + times * (inverse[k * d + j] as number);
    }
  return out;
}
