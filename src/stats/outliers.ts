import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { studentTQuantile } from "./distributions/student-t.ts";
import { moments } from "./numeric/moments.ts";
import { standardDeviation } from "./summary.ts";
import { differ, noScatter, problemsOfShare, problemsOfValues } from "./values.ts";

export type OutlierInput = {
  readonly values: readonly number[];
  /** Chance of a false suspicion; 0.05 unless said. */
  readonly alpha?: number;
  /** Whether the farthest value is looked for on both sides ("two", unless said) or on one. */
  readonly sides?: "two" | "low" | "high";
  /** How many values may be suspected at most; 1 unless said. */
  readonly atMost?: number;
};

export type Outliers = {
  /** Distance of the farthest value from the mean, in standard deviations. */
  readonly statistic: number;
  readonly critical: number;
  /** Positions in the list given, from 0, the farthest first. */
  readonly suspects: readonly number[];
  /** One step for each value that may be suspected; from one step to the next the farthest value is set aside. */
  readonly steps: readonly {
    readonly index: number;
    readonly statistic: number;
    readonly critical: number;
  }[];
};

/**
 * Which values lie farther out than a normal population would put them? Suspects are named, nothing is ever removed.
 *
 * Values in any unit, n ≥ 3, not all equal; atMost from 1 to n − 2. With atMost 1 it is Grubbs' test, the maximum normed
 * residual; with more, Rosner's generalised test, which finds two outliers that hide each other.
 * Formula: max |x − mean|/sd against (n − 1)/√n · √(t²/(n − 2 + t²)), t at 1 − α/(2n) (1 − α/n for one side).
 * Source: F. E. Grubbs, Technometrics 11 (1969), 1-21; B. Rosner, Technometrics 25 (1983), 165-172; NIST/SEMATECH
 * e-Handbook 1.3.5.17.
 *
 * @example
 * const answer = outliers({ values: [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57] });
 * answer.ok && answer.value.suspects // [7]
 */
export function outliers(input: OutlierInput): Result<Outliers> {
  const { values, alpha = 0.05, sides = "two", atMost = 1 } = input;
  const name = "A search for outliers";
  const [problem] = [
    ...problemsOfValues(values, 3, name),
    ...problemsOfShare(alpha, "alpha"),
    ...(values.length > 2 && !differ(values) ? [noScatter(name, values[0] as number)] : []),
    ...problemsOfAtMost(atMost, values.length),
  ];
  if (problem !== undefined) return refuse(problem);
  const n = values.length;
  let left = values.map((_, i) => i);
  const steps: { index: number; statistic: number; critical: number }[] = [];
  for (let i = 0; i < atMost; i++) {
    const kept = left.map((index) => values[index] as number);
    if (!differ(kept, values)) break;
    const sd = standardDeviation(kept);
    const { mean } = moments(kept);
    const distance = (index: number) => {
      const away = ((values[index] as number) - mean) / sd;
      return sides === "two" ? Math.abs(away) : sides === "high" ? away : -away;
    };
    const index = left.reduce((best, next) => (distance(next) > distance(best) ? next : best));
    const critical = grubbsCritical({ n: n - i, alpha, sides: sides === "two" ? "two" : "one" });
    steps.push({ index, statistic: distance(index), critical });
    left = left.filter((other) => other !== index);
  }
  const [first] = steps;
  if (first === undefined) return refuse(noScatter(name, values[0] ?? 0));
  // Rosner: as many suspects as the last step that is beyond its limit.
  const suspected = steps.findLastIndex(({ statistic, critical }) => statistic > critical) + 1;
  const suspects = steps.slice(0, suspected).map(({ index }) => index);
  return ok({ statistic: first.statistic, critical: first.critical, suspects, steps });
}

/**
 * The largest distance from the mean, in standard deviations, that n ≥ 3 normal values exceed with the chance alpha.
 *
 * @example
 * grubbsCritical({ n: 10, alpha: 0.05, sides: "two" }) // 2.2900, ISO 5725-2 table 5
 */
export function grubbsCritical(input: {
  readonly n: number;
  readonly alpha: number;
  readonly sides: "one" | "two";
}): number {
  const { n, alpha, sides } = input;
  const t = studentTQuantile(alpha / (sides === "two" ? 2 * n : n), n - 2);
  return ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
}

function problemsOfAtMost(atMost: number, n: number): Problem[] {
  if (Number.isInteger(atMost) && atMost >= 1 && atMost <= n - 2) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "At least one value may be suspected, and at least two must be left.",
      where: { field: "atMost" },
      found: String(atMost),
      expected: `a whole number from 1 to ${n - 2}`,
    },
  ];
}
