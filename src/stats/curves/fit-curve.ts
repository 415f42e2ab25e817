import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { factor, reflect } from "../numeric/least-squares.ts";
import { norm } from "../numeric/moments.ts";
import { problemsOfValues } from "../values.ts";

/** A curve: the response that parameters foretell at one row of x. */
export type Curve = (parameters: readonly number[], x: readonly number[]) => number;

export type FitCurveInput = {
  readonly model: Curve;
  /** How the curve changes with each parameter. Worked out by differences where it is not given. */
  readonly gradient?: (parameters: readonly number[], x: readonly number[]) => readonly number[];
  /** One row for each value of y. */
  readonly x: readonly (readonly number[])[];
  readonly y: readonly number[];
  /** Where the search begins: one number for each parameter. */
  readonly start: readonly number[];
};

export type FittedCurve = {
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  /** (JᵀJ)⁻¹, times the square of the residual sd the covariances of the coefficients. */
  readonly unscaledCovariance: readonly (readonly number[])[];
  readonly residualSumOfSquares: number;
  readonly residualSd: number;
  readonly df: number;
  readonly iterations: number;
};

/**
 * Which parameters bring a curve closest to the values, by least squares?
 *
 * More rows than parameters. Refused: a curve that is no number at the start; parameters that the values cannot tell
 * apart; a search that does not come to rest. At rest means proven: what is left of the residuals along the curve's own
 * directions is less than a millionth of their scatter across them (or the curve goes through every value).
 * Formula: Levenberg and Marquardt's step, each parameter scaled by the longest its column of derivatives has been, solved
 * by Householder's QR; standard errors s √((JᵀJ)⁻¹). Derivatives by central differences, extrapolated three deep.
 * Source: J. J. Moré, Lecture Notes in Mathematics 630 (1978), 105-116; H. B. Nielsen, IMM-REP-1999-05 (the damping);
 * D. M. Bates and D. G. Watts, Technometrics 23 (1981), 179-183 (the criterion); both from memory. NIST StRD: 15 sets, both
 * starts.
 *
 * @example
 * const model = ([a = 0, n = 0]: readonly number[], [t = 0]: readonly number[]) => a * t ** n;
 * const answer = fitCurve({ model, x: [[1], [4], [16]], y: [2, 4, 8], start: [1, 1] });
 * answer.ok && answer.value.coefficients // [2, 0.5]
 */
export function fitCurve(input: FitCurveInput): Result<FittedCurve> {
  const [problem, ...more] = problemsOfCurve(input);
  if (problem !== undefined) return refuse(problem, ...more);
  const begin = placeAt(input, input.start);
  if (begin === undefined) return refuse(noNumber);
  let iterations = 0;
  // A first step too long can land where the curve no longer feels a parameter; then shorter first steps are tried.
  for (const damping of [1e-3, 1, 1e3]) {
    const found = polish(input, search(input, begin, damping));
    iterations += found.iterations;
    if (found.offset < 1e-6 || passesThrough(input, found.r, 100)) return describe(input, found, iterations);
  }
  return refuse(notSettled(iterations));
}

const maxIterations = 2000;

/** A place in the search: the parameters, what is left of the values, the derivatives, and how far from rest it is. */
type Place = {
  readonly b: readonly number[];
  readonly r: Float64Array;
  readonly columns: readonly Float64Array[];
  readonly offset: number;
};

/** Undefined where the curve is no number. */
function placeAt(input: FitCurveInput, b: readonly number[]): Place | undefined {
  const r = residualsAt(input, b);
  if (!r.every(Number.isFinite) || norm(r) > 1e150) return undefined;
  const columns = derivatives(input, b);
  if (!columns.every((column) => column.every(Number.isFinite))) return undefined;
  return { b, r, columns, offset: relativeOffset(columns, r) };
}

function residualsAt({ model, x, y }: FitCurveInput, b: readonly number[]): Float64Array {
  return Float64Array.from(y, (value, i) => value - model(b, x[i] as readonly number[]));
}

/** Residuals of the size of rounding: the curve goes through every value. */
function passesThrough({ y }: FitCurveInput, r: Float64Array, times: number): boolean {
  const size = y.reduce((high, value) => Math.max(high, Math.abs(value)), 0);
  return norm(r) <= times * Number.EPSILON * size * Math.sqrt(y.length);
}

/** Down the sum of squares until nothing can be gained. */
function search(
  input: FitCurveInput,
  begin: Place,
  firstDamping: number,
): Place & { readonly iterations: number } {
  let place = begin;
  let lengths = begin.b.map(() => 0);
  let damping = firstDamping;
  let growth = 2;
  let iterations = 0;
  for (; iterations < maxIterations; iterations++) {
    const { b, r, columns, offset } = place;
    if (offset < 1e-10 || passesThrough(input, r, 1) || damping > 1e30) break;
    lengths = columns.map((column, j) => Math.max(norm(column), lengths[j] as number));
    const step = dampedStep(columns, r, lengths, damping);
    const next = b.map((value, j) => value + (step[j] as number));
    if (next.every((value, j) => value === b[j])) break;
    const trial = residualsAt(input, next);
    // The fall of the sum of squares, without the cancellation of two large sums.
    let fall = 0;
    for (let i = 0; i < r.length; i++)
      fall += ((r[i] as number) - (trial[i] as number)) * ((r[i] as number) + (trial[i] as number));
    const gain = fall / fallForetold(columns, r, step);
    const there = fall > 0 && Number.isFinite(gain) ? placeAt(input, next) : undefined;
    if (there === undefined) {
      damping *= growth;
      growth *= 2;
      continue;
    }
    place = there;
    damping = Math.max(damping * Math.max(1 / 10, 1 - (2 * gain - 1) ** 3), 1e-20);
    growth = 2;
  }
  return { ...place, iterations };
}

/** Near rest the sum of squares is too flat to lead on; plain steps go on while they bring the offset down. */
function polish<Found extends Place>(input: FitCurveInput, found: Found): Found {
  let place = found;
  while (place.offset > 1e-12 && place.offset < 1e-4) {
    const { b, r, columns } = place;
    const lengths = columns.map((column) => norm(column));
    const step = dampedStep(columns, r, lengths, 0);
    const next = placeAt(
      input,
      b.map((value, j) => value + (step[j] as number)),
    );
    if (next === undefined || !(next.offset < 0.95 * place.offset)) break;
    place = { ...place, ...next };
  }
  return place;
}

function describe(
  { y, start }: FitCurveInput,
  { b, r, columns }: Place,
  iterations: number,
): Result<FittedCurve> {
  const df = y.length - start.length;
  const lengths = columns.map((column) => norm(column) || 1);
  const { r: upper, dependent } = factor(scaled(columns, lengths));
  if (dependent !== undefined) return refuse(cannotTell(dependent));
  // Rows of R⁻¹ give (JᵀJ)⁻¹ = R⁻¹ R⁻ᵀ.
  const inverse = start.map((_, j) => {
    const unit = new Float64Array(start.length);
    unit[j] = 1;
    return solveUpper(upper, unit);
  });
  const unscaledCovariance = start.map((_, i) =>
    start.map((_, j) => {
      let total = 0;
      for (const column of inverse) total += (column[i] as number) * (column[j] as number);
      return total / (lengths[i] as number) / (lengths[j] as number);
    }),
  );
  const residualSumOfSquares = norm(r) ** 2;
  const residualSd = Math.sqrt(residualSumOfSquares / df);
  const standardErrors = unscaledCovariance.map((row, j) => residualSd * Math.sqrt(row[j] as number));
  if (!standardErrors.every(Number.isFinite)) return refuse(noNumber);
  return ok({
    coefficients: b,
    standardErrors,
    unscaledCovariance,
    residualSumOfSquares,
    residualSd,
    df,
    iterations,
  });
}

/** The step of least length that brings the linear model of the residuals down, with each parameter on its own scale. */
function dampedStep(
  columns: readonly Float64Array[],
  r: Float64Array,
  lengths: readonly number[],
  damping: number,
): Float64Array {
  const n = r.length;
  const unit = lengths.map((length) => length || 1);
  const stacked = scaled(columns, unit).map((column, j) => {
    const longer = new Float64Array(n + columns.length);
    longer.set(column);
    longer[n + j] = Math.sqrt(damping);
    return longer;
  });
  const { reflectors, r: upper, dependent } = factor(stacked);
  if (dependent !== undefined) return new Float64Array(columns.length).fill(Number.NaN);
  const right = new Float64Array(n + columns.length);
  right.set(r);
  for (const reflector of reflectors) reflect(reflector, right);
  return solveUpper(upper, right).map((value, j) => value / (unit[j] as number));
}

/** How far the sum of squares would fall if the curve were straight in its parameters. */
function fallForetold(columns: readonly Float64Array[], r: Float64Array, step: Float64Array): number {
  let fall = 0;
  for (let i = 0; i < r.length; i++) {
    const change = columns.reduce((sum, column, j) => sum + (column[i] as number) * (step[j] as number), 0);
    fall += change * (2 * (r[i] as number) - change);
  }
  return fall;
}

/** Residuals along the curve's directions against those across them, each per degree of freedom. */
function relativeOffset(columns: readonly Float64Array[], r: Float64Array): number {
  const p = columns.length;
  const { reflectors, dependent } = factor(
    scaled(
      columns,
      columns.map((column) => norm(column) || 1),
    ),
  );
  if (dependent !== undefined) return Number.POSITIVE_INFINITY;
  const turned = Float64Array.from(r);
  for (const reflector of reflectors) reflect(reflector, turned);
  const along = norm(turned.subarray(0, p)) / Math.sqrt(p);
  const across = norm(turned.subarray(p)) / Math.sqrt(r.length - p);
  return along === 0 ? 0 : along / across;
}

/** Straight least squares by QR, without refinement: the coefficients and the sum of squares that is left. */
export function plainLeastSquares(
  columns: readonly Float64Array[],
  y: readonly number[],
): { readonly coefficients: readonly number[]; readonly left: number } | undefined {
  const lengths = columns.map((column) => norm(column) || 1);
  const { reflectors, r: upper, dependent } = factor(scaled(columns, lengths));
  if (dependent !== undefined) return undefined;
  const turned = Float64Array.from(y);
  for (const reflector of reflectors) reflect(reflector, turned);
  return {
    coefficients: Array.from(solveUpper(upper, turned), (value, j) => value / (lengths[j] as number)),
    left: norm(turned.subarray(columns.length)) ** 2,
  };
}

function scaled(columns: readonly Float64Array[], lengths: readonly number[]): Float64Array[] {
  return columns.map((column, j) => column.map((value) => value / (lengths[j] as number)));
}

/** R b = d, with R by columns. */
function solveUpper(upper: readonly Float64Array[], d: Float64Array): Float64Array {
  const p = upper.length;
  const b = new Float64Array(p);
  for (let j = p - 1; j >= 0; j--) {
    let value = d[j] as number;
    for (let k = j + 1; k < p; k++) value -= (upper[k]?.[j] as number) * (b[k] as number);
    b[j] = value / (upper[j]?.[j] as number);
  }
  return b;
}

/** The derivatives of the curve by each parameter, a column each. */
function derivatives({ model, gradient, x, start }: FitCurveInput, b: readonly number[]): Float64Array[] {
  if (gradient !== undefined) {
    const columns = b.map(() => new Float64Array(x.length));
    x.forEach((row, i) => {
      const slopes = gradient(b, row);
      columns.forEach((column, j) => {
        column[i] = slopes[j] as number;
      });
    });
    return columns;
  }
  return b.map((value, j) => {
    // With three depths the error goes with the sixth power of the width: a thousandth leaves that of rounding.
    const width = 1e-3 * (Math.abs(value) || Math.abs(start[j] as number) || 1e-3);
    const shifted = (by: number) => b.map((other, k) => (k === j ? value + by : other));
    const places = [1, 0.5, 0.25].map((share) => {
      const above = shifted(share * width);
      const below = shifted(-share * width);
      return { above, below, apart: (above[j] as number) - (below[j] as number) };
    });
    return Float64Array.from(x, (row) => {
      const [d1, d2, d3] = places.map(
        ({ above, below, apart }) => (model(above, row) - model(below, row)) / apart,
      ) as [number, number, number];
      const finer = (4 * d3 - d2) / 3;
      return finer + (finer - (4 * d2 - d1) / 3) / 15;
    });
  });
}

function problemsOfCurve({ x, y, start }: FitCurveInput): Problem[] {
  const problems = [
    ...problemsOfValues(y, start.length + 1, "A curve", "y"),
    ...problemsOfValues(start, 1, "A curve", "start"),
  ];
  if (problems.length > 0) return problems;
  if (x.length !== y.length) {
    return [
      {
        code: "INPUT_FIELD",
        message: "Every value needs its own place.",
        where: { field: "x" },
        found: `${x.length} places for ${y.length} values`,
        expected: "as many places as values",
      },
    ];
  }
  const wrong = x.findIndex((row) => !row.every(Number.isFinite));
  if (wrong < 0) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "A curve needs finite numbers.",
      where: { field: `x[${wrong}]` },
      found: String(x[wrong]),
      expected: "a finite number",
    },
  ];
}

const noNumber: Problem = {
  code: "STAT_VALUE",
  message: "The curve is no finite number at some of the places.",
  where: { field: "start" },
  wayOut: "Choose another start, or another unit.",
};

function cannotTell(parameter: number): Problem {
  return {
    code: "STAT_DEGENERATE",
    message: `The values cannot tell parameter ${parameter + 1} from those before it.`,
    where: { field: "x" },
    wayOut: "Take a curve with fewer parameters, or values over a wider range.",
  };
}

function notSettled(iterations: number): Problem {
  return {
    code: "STAT_NOT_SETTLED",
    message: `The search for the best parameters did not come to rest in ${iterations} steps, so none are given.`,
    wayOut: "Choose a start nearer to the values, or a curve with fewer parameters.",
  };
}
