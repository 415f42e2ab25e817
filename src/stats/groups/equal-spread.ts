import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { chiSquaredTails } from "../distributions/chi-squared.ts";
import { moments } from "../numeric/moments.ts";
import { differ, noScatter, sorted } from "../values.ts";
import { type Groups, medianOf, problemsOfGroups, scatterWithin } from "./groups.ts";
import { oneWay } from "./one-way.ts";

export type EqualSpread = {
  /** Brown-Forsythe's F. */
  readonly statistic: number;
  readonly df1: number;
  readonly df2: number;
  readonly p: number;
  /** Sharper where the values are normal, misleading where they are not; absent where a group does not scatter. */
  readonly bartlett?: { readonly statistic: number; readonly df: number; readonly p: number };
};

/**
 * Do the groups scatter alike?
 *
 * Two or more groups of two or more values each, any unit. A small p speaks against equal spread. Refused where no value
 * differs from its group's median, or all of a group lie equally far from it, as two values do.
 * Formula: one-way F of |x − median of its group|. Source: M. B. Brown and A. B. Forsythe, J. Amer. Statist. Assoc. 69
 * (1974), 364-367; NIST/SEMATECH e-Handbook 1.3.5.10, and 1.3.5.7 for Bartlett's statistic.
 *
 * @example
 * const answer = equalSpread({ groups: [[4.1, 5.6, 5.2], [4.8, 4.2, 4.4], [6.3, 5.1, 5.5]] });
 * answer.ok && answer.value.df2 // 6
 */
export function equalSpread(input: { readonly groups: Groups }): Result<EqualSpread> {
  const { groups } = input;
  const name = "A comparison of spreads";
  const [problem, ...more] = problemsOfGroups(groups, 2, name);
  if (problem !== undefined) return refuse(problem, ...more);
  const all = groups.flat();
  if (!scatterWithin(groups, all)) return refuse(noScatter(name, all[0] as number));
  const distances = groups.map((group) => {
    const median = medianOf(sorted(group));
    return group.map((value) => Math.abs(value - median));
  });
  // Of two values both lie equally far from their median: what is left of the distances is rounding.
  if (!scatterWithin(distances, all)) return refuse(equallyFar);
  const { f, p, dfBetween, dfWithin } = oneWay(distances);
  const bartlett = groups.every((group) => differ(group, all)) ? bartlettTest(groups) : undefined;
  return ok({ statistic: f, df1: dfBetween, df2: dfWithin, p, ...(bartlett !== undefined && { bartlett }) });
}

function bartlettTest(groups: Groups): NonNullable<EqualSpread["bartlett"]> {
  const spreads = groups.map((group) => {
    const { n, sumOfSquares } = moments(group);
    return { df: n - 1, variance: sumOfSquares / (n - 1) };
  });
  const dfAll = spreads.reduce((sum, { df }) => sum + df, 0);
  const pooled = spreads.reduce((sum, { df, variance }) => sum + df * variance, 0) / dfAll;
  const logs = spreads.reduce((sum, { df, variance }) => sum + df * Math.log(pooled / variance), 0);
  const correction =
    1 + (spreads.reduce((sum, { df }) => sum + 1 / df, 0) - 1 / dfAll) / (3 * (groups.length - 1));
  const statistic = logs / correction;
  const df = groups.length - 1;
  return { statistic, df, p: chiSquaredTails(statistic, df).upper };
}

const equallyFar: Problem = {
  code: "STAT_DEGENERATE",
  message:
    "A comparison of spreads cannot be given: in each group all values lie equally far from its median, as two values always do.",
  where: { field: "groups" },
  expected: "a group of three values or more that differ",
};
