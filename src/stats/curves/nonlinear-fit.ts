import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import {
  problemsOfMany,
  problemsOfPositive,
  problemsOfShare,
  problemsOfValues,
  smallest,
} from "../values.ts";
import { type FittedCurve, fitCurve, plainLeastSquares } from "./fit-curve.ts";

export const curveNames = ["log-time", "power", "exponential-approach"] as const;
export type CurveName = (typeof curveNames)[number];

export type NonlinearFitInput = {
  readonly model: CurveName;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly confidence?: number;
  /** Where the curve is to be foretold. */
  readonly at?: number;
};

export type NonlinearFit = {
  readonly n: number;
  readonly model: CurveName;
  readonly coefficients: Readonly<Record<string, number>>;
  readonly standardErrors: Readonly<Record<string, number>>;
  readonly intervals: Readonly<Record<string, readonly [low: number, high: number]>>;
  readonly df: number;
  readonly residualSd: number;
  readonly residualSumOfSquares: number;
  readonly prediction?: {
    readonly value: number;
    readonly standardError: number;
    readonly interval: readonly [low: number, high: number];
    /** Where one more value would lie. */
    readonly valueInterval: readonly [low: number, high: number];
  };
};

/**
 * Which curve of a named kind comes closest to values taken at places or times, by least squares?
 *
 * - `log-time`: y = atOne + perDecade · log10(x), as an eye or a splice settles under a load that is held.
 * - `power`: y = factor · x^exponent, as creep at an early age.
 * - `exponential-approach`: y = end + (begin − end) · exp(−x / time), as a force that relaxes to a rest. `begin` is at x = 0.
 *
 * x and y of one length, one value more than the curve has coefficients; x above zero (for the approach zero too). Refused:
 * values that cannot tell the coefficients apart, such as an approach that does not bend; a search that does not come to
 * rest. Intervals of `power` and `exponential-approach` treat the curve as straight near its best coefficients, and a
 * warning says so.
 * Formula: least squares by `fitCurve`, begun at the best of a grid over the one coefficient in which the curve is bent;
 * intervals: coefficient ± t(1 − α/2; n − p) · standard error.
 * Source: D. M. Bates and D. G. Watts, Nonlinear Regression Analysis and Its Applications (1988), chapter 2 (from memory).
 *
 * @example
 * const answer = nonlinearFit({ model: "log-time", x: [1, 10, 100, 1000], y: [2, 2.5, 2.7, 3.2] });
 * answer.ok && answer.value.coefficients.perDecade // 0.38
 */
export function nonlinearFit(input: NonlinearFitInput): Result<NonlinearFit> {
  const { model, x, y, confidence = 0.95, at } = input;
  const curve = curves[model];
  const [problem, ...more] = problemsOfInput(input);
  if (problem !== undefined) return refuse(problem, ...more);
  const start = bestOfGrid(curve, x, y);
  if (start === undefined) return refuse(outOfRange);
  const fitted = fitCurve({
    model: (b, [place = 0]) => curve.value(b, place),
    gradient: (b, [place = 0]) => curve.gradient(b, place),
    x: x.map((place) => [place]),
    y,
    start,
  });
  if (!fitted.ok) return fitted;
  const { coefficients, standardErrors, df, residualSd, residualSumOfSquares } = fitted.value;
  const unseen = curve.unseen(coefficients, x);
  if (unseen) return refuse(doesNotBend);
  const t = studentTQuantile(0.5 + confidence / 2, df);
  const named = <T>(value: (j: number) => T) =>
    Object.fromEntries(curve.coefficients.map((name, j) => [name, value(j)]));
  const value: NonlinearFit = {
    n: y.length,
    model,
    coefficients: named((j) => coefficients[j] as number),
    standardErrors: named((j) => standardErrors[j] as number),
    intervals: named((j) => around(coefficients[j] as number, t * (standardErrors[j] as number))),
    df,
    residualSd,
    residualSumOfSquares,
    ...(at !== undefined && { prediction: foretell(curve, fitted.value, at, t) }),
  };
  const numbers = [...Object.values(value.intervals).flat(), value.prediction?.valueInterval[1] ?? 0];
  if (!numbers.every(Number.isFinite)) return refuse(outOfRange);
  return ok(value, model === "log-time" ? [] : [straightened]);
}

/** The search goes over all of them many times. */
const mostValues = 100_000;

type NamedCurve = {
  readonly coefficients: readonly string[];
  readonly value: (b: readonly number[], x: number) => number;
  readonly gradient: (b: readonly number[], x: number) => readonly number[];
  readonly zeroAllowed: boolean;
  /** Guesses of the one coefficient in which the curve is bent. */
  readonly guesses: (x: readonly number[]) => readonly number[];
  /** With that coefficient held the curve is a sum of these columns at x. */
  readonly columns: (guess: number, x: number) => readonly number[];
  readonly assemble: (parts: readonly number[], guess: number) => readonly number[];
  /** Whether the values lie where the coefficients found can no longer be seen. */
  readonly unseen: (b: readonly number[], x: readonly number[]) => boolean;
};

const curves: Readonly<Record<CurveName, NamedCurve>> = {
  "log-time": {
    coefficients: ["atOne", "perDecade"],
    value: ([a = 0, b = 0], x) => a + b * Math.log10(x),
    gradient: (_, x) => [1, Math.log10(x)],
    zeroAllowed: false,
    guesses: () => [0],
    columns: (_, x) => [1, Math.log10(x)],
    assemble: (parts) => parts,
    unseen: () => false,
  },
  power: {
    coefficients: ["factor", "exponent"],
    value: ([a = 0, n = 0], x) => a * x ** n,
    gradient: ([a = 0, n = 0], x) => [x ** n, a * x ** n * Math.log(x)],
    zeroAllowed: false,
    guesses: () => Array.from({ length: 101 }, (_, i) => (i - 50) / 10),
    columns: (n, x) => [x ** n],
    assemble: ([a = 0], n) => [a, n],
    unseen: ([a = 0]) => a === 0,
  },
  "exponential-approach": {
    coefficients: ["end", "begin", "time"],
    value: ([end = 0, begin = 0, time = 1], x) => end + (begin - end) * Math.exp(-x / time),
    gradient: ([end = 0, begin = 0, time = 1], x) => {
      const left = Math.exp(-x / time);
      return [1 - left, left, ((begin - end) * left * x) / time ** 2];
    },
    zeroAllowed: true,
    guesses: (x) => {
      const longest = x.reduce((high, value) => Math.max(high, value), 0);
      return Array.from({ length: 61 }, (_, i) => longest * 10 ** ((i - 40) / 10));
    },
    columns: (time, x) => [1 - Math.exp(-x / time), Math.exp(-x / time)],
    assemble: ([end = 0, begin = 0], time) => [end, begin, time],
    // Longer than a thousand records the approach is a straight line; within a twentieth of the first step it is over.
    unseen: ([, , time = 0], x) => {
      const longest = x.reduce((high, value) => Math.max(high, value), 0);
      const first = smallest(x.filter((value) => value > 0));
      return !(time < 1000 * longest && time > first / 20);
    },
  },
};

/** The best start: for each guess the rest is straight least squares. */
function bestOfGrid(
  curve: NamedCurve,
  x: readonly number[],
  y: readonly number[],
): readonly number[] | undefined {
  // A grid needs no more than some hundred places to find the neighbourhood.
  const every = Math.ceil(x.length / 300);
  const chosen = x.map((_, i) => i).filter((i) => i % every === 0 || i === x.length - 1);
  const places = chosen.map((i) => x[i] as number);
  const response = chosen.map((i) => y[i] as number);
  let best: { readonly start: readonly number[]; readonly left: number } | undefined;
  for (const guess of curve.guesses(x)) {
    const rows = places.map((place) => curve.columns(guess, place));
    if (!rows.every((row) => row.every(Number.isFinite))) continue;
    const columns = (rows[0] ?? []).map((_, j) => Float64Array.from(rows, (row) => row[j] as number));
    const solved = plainLeastSquares(columns, response);
    if (solved === undefined) continue;
    const { coefficients, left } = solved;
    const start = curve.assemble(coefficients, guess);
    if (left < (best?.left ?? Number.POSITIVE_INFINITY) && start.every(Number.isFinite))
      best = { start, left };
  }
  return best?.start;
}

function foretell(
  curve: NamedCurve,
  { coefficients, unscaledCovariance, residualSd }: FittedCurve,
  at: number,
  t: number,
): NonNullable<NonlinearFit["prediction"]> {
  const value = curve.value(coefficients, at);
  const slopes = curve.gradient(coefficients, at);
  let square = 0;
  for (const [i, row] of unscaledCovariance.entries())
    for (const [j, c] of row.entries()) square += (slopes[i] as number) * c * (slopes[j] as number);
  const standardError = residualSd * Math.sqrt(Math.max(square, 0));
  return {
    value,
    standardError,
    interval: around(value, t * standardError),
    valueInterval: around(value, t * Math.hypot(standardError, residualSd)),
  };
}

function around(value: number, half: number): readonly [number, number] {
  return [value - half, value + half];
}

function problemsOfInput({ model, x, y, confidence = 0.95, at }: NonlinearFitInput): Problem[] {
  const curve = curves[model];
  const places = [...x, ...(at === undefined ? [] : [at])];
  const problems = [
    ...problemsOfMany(y.length, mostValues, "A curve", "y", "Take every tenth value."),
    ...problemsOfValues(y, curve.coefficients.length + 1, "This curve", "y"),
    ...problemsOfValues(x, 1, "This curve", "x"),
    ...problemsOfShare(confidence, "confidence"),
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
  if (at !== undefined && !Number.isFinite(at)) {
    return [
      {
        code: "STAT_VALUE",
        message: "A curve is foretold at a finite place.",
        where: { field: "at" },
        found: String(at),
        expected: "a finite number",
      },
    ];
  }
  const below = places.findIndex((place) => (curve.zeroAllowed ? place < 0 : place <= 0));
  if (below < 0) return [];
  const field = below < x.length ? `x[${below}]` : "at";
  if (!curve.zeroAllowed)
    return problemsOfPositive([places[below] as number], "This curve").map((p) => ({
      ...p,
      where: { field },
    }));
  return [
    {
      code: "STAT_VALUE",
      message: "This curve begins at 0.",
      where: { field },
      found: String(places[below]),
      expected: "a number from 0 up",
    },
  ];
}

const straightened: Warning = {
  code: "STAT_APPROXIMATE",
  message:
    "The intervals treat the curve as straight near its best coefficients; with few values they are rough.",
};

const doesNotBend: Problem = {
  code: "STAT_DEGENERATE",
  message: "The values do not show the bend of this curve, so its coefficients cannot be told.",
  where: { field: "model" },
  wayOut: "Take a curve with fewer coefficients, or values over a longer time.",
};

const outOfRange: Problem = {
  code: "STAT_VALUE",
  message: "This curve cannot be worked out for numbers of this size, or places that are all equal.",
  where: { field: "x" },
  wayOut: "Choose another unit, or values at more places.",
};
