import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { fQuantile, nonCentralFUpper } from "../distributions/f.ts";
import { nonCentralTTails } from "../distributions/non-central-t.ts";
import { normalQuantile } from "../distributions/normal.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { moments } from "../numeric/moments.ts";
import { findRoot, findRootFrom } from "../numeric/root.ts";
import { oneSidedFactor } from "../tolerance-factor.ts";
import { problemsOfShare, problemsOfValues } from "../values.ts";

/** What is to be shown: a difference of two groups, a difference among several, or a bound above a target. */
export type Aim =
  | { readonly kind: "two"; readonly difference: number; readonly sd: number; readonly alpha?: number }
  | { readonly kind: "many"; readonly means: readonly number[]; readonly sd: number; readonly alpha?: number }
  | {
      readonly kind: "bound";
      readonly mean: number;
      readonly sd: number;
      readonly target: number;
      readonly content: number;
      readonly confidence: number;
    };

/** Largest n that is looked for; beyond it no bench will go. */
const largestN = 100_000;

/**
 * The chance that n values (per group) show what is to be shown.
 *
 * n ≥ 2 whole; sd above 0 in the unit of the means; alpha 0.05 unless said. Kinds: "two": Welch-like test of two groups of
 * n, the right sign only; "many": one-way F over groups of n; "bound": a normal lower bound of n values clears the
 * target, where the population has this mean and sd.
 * Formulas: P(T > t(1 − α/2; 2n − 2)) with shift |difference|/sd · √(n/2); the upper tail of the non-central F with
 * n Σ(mean − mean of means)²/sd²; P(T ≥ k√n) with shift √n (mean − target)/sd, k the tolerance factor.
 * Source: J. Cohen, Statistical Power Analysis (1988), chapters 2 and 8; for the bound by algebra.
 *
 * @example
 * const answer = power({ kind: "two", n: 5, difference: 3, sd: 2 });
 * answer.ok && answer.value.power // 0.5494
 */
export function power(input: Aim & { readonly n: number }): Result<{ readonly power: number }> {
  const [problem, ...more] = [...problemsOfN(input.n), ...problemsOfAim(input)];
  if (problem !== undefined) return refuse(problem, ...more);
  return ok({ power: chance(input, input.n) });
}

/**
 * The least n (per group) at which the chance reaches the power asked for; see `power` for the kinds.
 * Refused where even 100 000 do not suffice.
 *
 * @example
 * const answer = sampleSize({ kind: "two", difference: 3, sd: 2, power: 0.8 });
 * answer.ok && answer.value.n // 9
 */
export function sampleSize(
  input: Aim & { readonly power: number },
): Result<{ readonly n: number; readonly power: number }> {
  const [problem, ...more] = [...problemsOfAim(input), ...problemsOfShare(input.power, "power")];
  if (problem !== undefined) return refuse(problem, ...more);
  let low = 1;
  let high = 2;
  while (chance(input, high) < input.power) {
    if (high >= largestN) return refuse(notReached(input.power));
    low = high;
    high = Math.min(2 * high, largestN);
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (chance(input, middle) >= input.power) high = middle;
    else low = middle;
  }
  return ok({ n: high, power: chance(input, high) });
}

/** The true difference that a two-sided t test of two groups finds with the given chance. */
export function detectableDifference(input: {
  readonly nA: number;
  readonly nB: number;
  readonly sd: number;
  readonly alpha: number;
  readonly power: number;
}): number {
  const { nA, nB, sd, alpha, power: wanted } = input;
  const df = nA + nB - 2;
  const critical = studentTQuantile(1 - alpha / 2, df);
  const shift = findRootFrom((ncp) => nonCentralTTails(critical, df, ncp).upper - wanted, critical, 1);
  return shift * sd * Math.sqrt(1 / nA + 1 / nB);
}

/**
 * How far the true means of the two smallest groups must lie apart, the others midway, for the F test to find it with the
 * given chance.
 * Formula: with n₁ and n₂ of N values the non-centrality is (d/2 sd)² (n₁ + n₂ − (n₁ − n₂)²/N). Source: algebra.
 */
export function detectableSpread(input: {
  readonly sizes: readonly number[];
  readonly sd: number;
  readonly alpha: number;
  readonly power: number;
}): number {
  const { sizes, sd, alpha, power: wanted } = input;
  const total = sizes.reduce((sum, n) => sum + n, 0);
  const [df1, df2] = [sizes.length - 1, total - sizes.length];
  const critical = fQuantile(1 - alpha, df1, df2);
  const missing = (ncp: number) => nonCentralFUpper(critical, df1, df2, ncp) - wanted;
  let high = 1;
  while (missing(high) < 0) high *= 2;
  const [first = 0, second = 0] = sizes.toSorted((a, b) => a - b);
  const weight = first + second - (first - second) ** 2 / total;
  return 2 * sd * Math.sqrt(findRoot(missing, 0, high) / weight);
}

function chance(aim: Aim, n: number): number {
  if (aim.kind === "two") {
    const df = 2 * n - 2;
    const shift = (Math.abs(aim.difference) / aim.sd) * Math.sqrt(n / 2);
    return nonCentralTTails(studentTQuantile(1 - (aim.alpha ?? 0.05) / 2, df), df, shift).upper;
  }
  if (aim.kind === "many") {
    const k = aim.means.length;
    const [df1, df2] = [k - 1, k * (n - 1)];
    const shift = (n * moments(aim.means).sumOfSquares) / aim.sd ** 2;
    return nonCentralFUpper(fQuantile(1 - (aim.alpha ?? 0.05), df1, df2), df1, df2, shift);
  }
  const root = Math.sqrt(n);
  const shift = (root * (aim.mean - aim.target)) / aim.sd;
  return nonCentralTTails(oneSidedFactor(n, aim.content, aim.confidence) * root, n - 1, shift).upper;
}

function problemsOfN(n: number): Problem[] {
  if (Number.isInteger(n) && n >= 2 && n <= largestN) return [];
  return [
    {
      code: n < 2 ? "STAT_TOO_FEW" : "STAT_VALUE",
      message: "The chance can be given for 2 to 100 000 values per group.",
      where: { field: "n" },
      found: String(n),
      expected: `a whole number from 2 to ${largestN}`,
    },
  ];
}

function problemsOfAim(aim: Aim): Problem[] {
  const sd = aim.sd > 0 && Number.isFinite(aim.sd) ? [] : [positive("sd", aim.sd)];
  if (aim.kind === "bound") {
    const apart = (aim.mean - aim.target) / aim.sd;
    return [
      ...sd,
      ...problemsOfShare(aim.content, "content"),
      ...problemsOfShare(aim.confidence, "confidence"),
      ...(apart > normalQuantile(aim.content) ? [] : [hopeless(aim.content)]),
    ];
  }
  const alpha = problemsOfShare(aim.alpha ?? 0.05, "alpha");
  if (aim.kind === "two") {
    const size = Math.abs(aim.difference);
    return [
      ...sd,
      ...alpha,
      ...(size > 0 && Number.isFinite(size) ? [] : [positive("difference", aim.difference)]),
    ];
  }
  const means = problemsOfValues(aim.means, 2, "A comparison of groups", "means");
  const same = means.length === 0 && aim.means.every((mean) => mean === aim.means[0]);
  return [...sd, ...alpha, ...means, ...(same ? [positive("means", 0)] : [])];
}

function positive(field: string, found: number): Problem {
  return {
    code: "STAT_VALUE",
    message: `There is nothing to find: the ${field} must differ from zero, and be finite.`,
    where: { field },
    found: String(found),
  };
}

function hopeless(content: number): Problem {
  return {
    code: "STAT_VALUE",
    message: `No number of values can help: the share ${content} of such a population does not lie above the target.`,
    where: { field: "target" },
    wayOut: "A higher mean or a smaller scatter is needed, or a lower target.",
  };
}

function notReached(wanted: number): Problem {
  return {
    code: "STAT_VALUE",
    message: `Even ${largestN} values per group do not reach a chance of ${wanted}.`,
    where: { field: "power" },
    found: String(wanted),
  };
}
