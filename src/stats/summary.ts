import { ok, type Result, refuse, type Warning } from "../problem/mod.ts";
import { studentTQuantile } from "./distributions/student-t.ts";
import { moments } from "./numeric/moments.ts";
import { differ, largest, problemsOfFinite, problemsOfShare, smallest } from "./values.ts";

/** What a list of values shows at first sight. A figure that the values cannot give is absent, with a warning. */
export type Summary = {
  readonly n: number;
  readonly mean: number;
  readonly lowest: number;
  readonly highest: number;
  /** Standard deviation with n − 1; absent for one value. */
  readonly sd?: number;
  /** sd / mean, as a fraction; absent without sd, or where the mean is not above zero. */
  readonly cv?: number;
  /** Where the mean of the population lies, by Student's t, at the stated confidence. */
  readonly meanInterval?: readonly [low: number, high: number];
  /** How alike neighbours in the order given are, from −1 to 1: far from 0, the order matters. From 3 values on. */
  readonly lag1Autocorrelation?: number;
};

/**
 * How many values, their mean, scatter, extremes, and how well the mean is known.
 *
 * Values in any unit, in the order in which they were taken; confidence between 0 and 1 (0.95). Results in the same
 * unit, cv as a fraction.
 * n = 0 is refused. n = 1 has no sd, cv or interval. All equal within rounding: sd is 0 and the interval a point, with a warning.
 * Formula: sd² = Σ(x − mean)²/(n − 1); interval mean ± t(1 − α/2; n − 1) sd/√n;
 * autocorrelation Σ(xᵢ − mean)(xᵢ₊₁ − mean)/Σ(xᵢ − mean)².
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods 1.3.5.1, 1.3.5.2 and 1.3.5.12.
 *
 * @example
 * const answer = summary([50.1, 50.1, 50.2, 50.1]);
 * answer.ok && answer.value.sd // 0.05
 */
export function summary(
  values: readonly number[],
  options: { readonly confidence?: number } = {},
): Result<Summary> {
  const { confidence = 0.95 } = options;
  const [problem, ...more] = [
    ...problemsOfFinite(values, 1, "A summary"),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const n = values.length;
  const lowest = smallest(values);
  const highest = largest(values);
  const { mean, sumOfSquares, sumOfNeighbours } = moments(values);
  if (n === 1) return ok({ n, mean, lowest, highest }, [oneValue]);
  const sd = differ(values) ? standardDeviation(values) : 0;
  const half = studentTQuantile(0.5 + confidence / 2, n - 1) * (sd / Math.sqrt(n));
  const meanInterval = [mean - half, mean + half] as const;
  if (![sd, ...meanInterval].every(Number.isFinite)) return refuse(outOfRange(highest));
  return ok(
    {
      n,
      mean,
      lowest,
      highest,
      sd,
      ...(mean > 0 && { cv: sd / mean }),
      meanInterval,
      ...(n > 2 &&
        sd > 0 &&
        sumOfSquares > 0 &&
        Number.isFinite(sumOfSquares) && { lag1Autocorrelation: sumOfNeighbours / sumOfSquares }),
    },
    [...(sd === 0 ? [allEqual(lowest)] : []), ...(mean > 0 ? [] : [noCv(mean)])],
  );
}

/** Standard deviation with n − 1 of two or more values, also where their squares leave the range of a double. */
export function standardDeviation(values: readonly number[]): number {
  const { n, sumOfSquares } = moments(values);
  if (sumOfSquares > 1e-290 && sumOfSquares < 1e290) return Math.sqrt(sumOfSquares / (n - 1));
  const scale = Math.max(Math.abs(smallest(values)), Math.abs(largest(values)));
  if (scale === 0) return 0;
  return scale * Math.sqrt(moments(values.map((value) => value / scale)).sumOfSquares / (n - 1));
}

const oneValue: Warning = {
  code: "STAT_TOO_FEW",
  message: "One value says nothing of scatter: standard deviation, CV and the interval of the mean need two.",
  found: "1",
  expected: "2 or more",
};

function allEqual(value: number): Warning {
  return {
    code: "STAT_DEGENERATE",
    message:
      "All values are equal within rounding, so the scatter comes out as zero. Was the reading too coarse?",
    found: `every value is ${value}`,
  };
}

function noCv(mean: number): Warning {
  return {
    code: "STAT_DEGENERATE",
    message: "A coefficient of variation needs a mean above zero.",
    found: String(mean),
  };
}

function outOfRange(value: number) {
  return {
    code: "STAT_VALUE" as const,
    message: "The values are too large for their scatter to be written as a number.",
    found: String(value),
    expected: "values below 1e150 in size",
  };
}
