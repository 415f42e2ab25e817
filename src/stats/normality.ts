import { ok, type Result, refuse, type Warning } from "../problem/mod.ts";
import { normalQuantile, normalUpper } from "./distributions/normal.ts";
import { type AndersonDarling, andersonDarlingNormal } from "./fit/anderson-darling.ts";
import { moments } from "./numeric/moments.ts";
import { standardDeviation } from "./summary.ts";
import { differ, noScatter, problemsOfValues, sorted } from "./values.ts";

export type Normality = {
  readonly n: number;
  /** From 3 to 5000 values. */
  readonly shapiroWilk?: { readonly statistic: number; readonly p: number };
  /** From 8 values on. */
  readonly andersonDarling?: AndersonDarling;
};

/**
 * Do the values look as if drawn from a normal population?
 *
 * Values in any unit, n ≥ 3, not all equal. A small p speaks against normality; a large p for few values says next to
 * nothing, and a warning says so below 20.
 * Source: P. Royston, Algorithm AS R94, Applied Statistics 44 (1995), 547-551; for Anderson-Darling see there.
 *
 * @example
 * const answer = normality({ values: [148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236] });
 * answer.ok && answer.value.shapiroWilk?.statistic // 0.7888…
 */
export function normality(input: { readonly values: readonly number[] }): Result<Normality> {
  const { values } = input;
  const name = "A test of normality";
  const [problem] = problemsOfValues(values, 3, name);
  if (problem !== undefined) return refuse(problem);
  const ordered = sorted(values);
  if (!differ(values)) return refuse(noScatter(name, ordered[0] as number));
  const n = values.length;
  const { mean } = moments(values);
  const sd = standardDeviation(values);
  const z = ordered.map((value) => (value - mean) / sd);
  return ok(
    {
      n,
      ...(n <= 5000 && { shapiroWilk: shapiroWilk(z) }),
      ...(n > 7 && { andersonDarling: andersonDarlingNormal(z) }),
    },
    warningsFor(n),
  );
}

/** W and its p for ordered, standardised values. */
function shapiroWilk(z: Float64Array): { readonly statistic: number; readonly p: number } {
  const weights = roystonWeights(z.length);
  const total = z.reduce((sum, value, i) => sum + value * (weights[i] as number), 0);
  const squares = z.reduce((sum, value) => sum + value * value, 0);
  const centre = z.reduce((sum, value) => sum + value, 0) / z.length;
  const statistic = Math.min(1, (total * total) / (squares - z.length * centre * centre));
  return { statistic, p: pOfW(1 - statistic, z.length) };
}

/** Royston's weights: normal scores, the outermost one or two corrected by a polynomial in 1/√n. */
function roystonWeights(n: number): number[] {
  if (n === 3) return [-Math.SQRT1_2, 0, Math.SQRT1_2];
  const scores = Array.from({ length: n }, (_, i) => normalQuantile((i + 1 - 0.375) / (n + 0.25)));
  const squares = scores.reduce((sum, m) => sum + m * m, 0);
  const x = 1 / Math.sqrt(n);
  const length = Math.sqrt(squares);
  const first =
    polynomial([0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056], x) - (scores[0] as number) / length;
  const second =
    polynomial([0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633], x) - (scores[1] as number) / length;
  const ends = n > 5 ? [first, second] : [first];
  const endScores = scores.slice(0, ends.length).reduce((sum, m) => sum + m * m, 0);
  const endWeights = ends.reduce((sum, a) => sum + a * a, 0);
  const shrink = Math.sqrt((squares - 2 * endScores) / (1 - 2 * endWeights));
  return scores.map((m, i) => {
    const fromEnd = Math.min(i, n - 1 - i);
    const end = ends[fromEnd];
    if (end === undefined) return m / shrink;
    return i < n / 2 ? -end : end;
  });
}

function pOfW(missing: number, n: number): number {
  if (n === 3) {
    const stretched = (6 / Math.PI) * (Math.asin(Math.sqrt(1 - missing)) - Math.asin(Math.sqrt(0.75)));
    return Math.min(1, Math.max(0, stretched));
  }
  const y = Math.log(missing);
  if (n <= 11) {
    const gamma = polynomial([-2.273, 0.459], n);
    if (y >= gamma) return 1e-99;
    const mean = polynomial([0.544, -0.39978, 0.025054, -6.714e-4], n);
    const sd = Math.exp(polynomial([1.3822, -0.77857, 0.062767, -0.0020322], n));
    return normalUpper((-Math.log(gamma - y) - mean) / sd);
  }
  const log = Math.log(n);
  const mean = polynomial([-1.5861, -0.31082, -0.083751, 0.0038915], log);
  const sd = Math.exp(polynomial([-0.4803, -0.082676, 0.0030302], log));
  return normalUpper((y - mean) / sd);
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);
}

function warningsFor(n: number): Warning[] {
  const warnings: Warning[] = [];
  if (n < 8)
    warnings.push({
      code: "STAT_TOO_FEW",
      message: `The Anderson-Darling test needs 8 values, has ${n}.`,
      found: String(n),
      expected: "8 or more",
    });
  if (n > 5000)
    warnings.push({
      code: "STAT_VALUE",
      message: "The Shapiro-Wilk test is for 5000 values at most.",
      found: String(n),
      expected: "5000 or fewer",
    });
  if (n < 20)
    warnings.push({
      code: "STAT_APPROXIMATE",
      message: `${n} values seldom show a departure from normality, so a large p does not say that there is none.`,
      found: String(n),
    });
  return warnings;
}
