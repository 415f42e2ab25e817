import { ok, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfCensored, problemsOfValues } from "../values.ts";

export type SurvivalStep = {
  readonly value: number;
  /** Share of the population that holds more than this value. */
  readonly survival: number;
  /** Greenwood's; absent where nothing is left. */
  readonly standardError?: number;
  readonly atRisk: number;
  readonly failed: number;
};

export type SurvivalCurve = {
  readonly n: number;
  readonly censoredCount: number;
  /** One step for each value at which something failed, in ascending order. */
  readonly steps: readonly SurvivalStep[];
  /** The value that half of the population survives; absent where the curve does not come down so far. */
  readonly median?: number;
};

/**
 * What share of specimens holds how much, with those counted that were stopped?
 *
 * Values in any unit, censored where the true value lies above; a value stopped at the same value as a failure counts as
 * held so far. All censored: no steps.
 * Formula: Π (1 − failed/at risk); standard error by Greenwood, survival · √Σ failed/(at risk (at risk − failed)).
 * Source: E. L. Kaplan and P. Meier, J. Amer. Statist. Assoc. 53 (1958), 457-481.
 *
 * @example
 * const answer = survivalCurve({ values: [43, 45, 50], censored: [false, true, false] });
 * answer.ok && answer.value.steps[0]?.survival // 0.6667
 */
export function survivalCurve(input: {
  readonly values: readonly number[];
  readonly censored?: readonly boolean[];
}): Result<SurvivalCurve> {
  const { values, censored } = input;
  const [problem, ...more] = [
    ...problemsOfValues(values, 1, "A survival curve"),
    ...problemsOfCensored(values, censored),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const ordered = values
    .map((value, i) => ({ value, failed: censored?.[i] !== true }))
    .sort((a, b) => a.value - b.value);
  const steps: SurvivalStep[] = [];
  let survival = 1;
  let greenwood = 0;
  for (let i = 0; i < ordered.length; ) {
    const value = (ordered[i] as { value: number }).value;
    const atRisk = ordered.length - i;
    let failed = 0;
    for (; i < ordered.length && ordered[i]?.value === value; i++)
      failed += ordered[i]?.failed === true ? 1 : 0;
    if (failed === 0) continue;
    survival *= 1 - failed / atRisk;
    greenwood += failed / (atRisk * (atRisk - failed));
    steps.push({
      value,
      survival,
      ...(failed < atRisk && { standardError: survival * Math.sqrt(greenwood) }),
      atRisk,
      failed,
    });
  }
  // A product of shares that is one half by algebra may come out a rounding above it.
  const median = steps.find((step) => step.survival <= 0.5 + 1e-12)?.value;
  return ok({
    n: values.length,
    censoredCount: ordered.filter(({ failed }) => !failed).length,
    steps,
    ...(median !== undefined && { median }),
  });
}
