import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { type Estimate, estimateFamily, type Family, families } from "./fit.ts";

export type RankedFit = Pick<
  Estimate,
  "family" | "parameters" | "logLikelihood" | "aicc" | "andersonDarling"
> & {
  /** How much worse than the best: the difference in AICc, which here is twice that in log-likelihood. */
  readonly difference: number;
  /** Akaike's weight: the share of belief among these families, from equal beliefs. */
  readonly weight: number;
};

export type FitComparison = {
  /** Best first. */
  readonly fits: readonly RankedFit[];
  /** Whether the values can tell the best from the next. */
  readonly decided: boolean;
  readonly meaning: string;
};

/**
 * Which of the families fits the values best, and whether the values can tell.
 *
 * Values and marks as for `estimateFamily`; families all three unless named. A difference in AICc below 2 decides nothing (Burnham
 * and Anderson 2002, 2.6). Families that the values rule out (a value of zero and Weibull) are left out with a warning.
 * Refused where no family can be fitted.
 *
 * @example
 * const answer = fitCompare({ values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34] });
 * answer.ok && answer.value.decided // false
 */
export function fitCompare(input: {
  readonly values: readonly number[];
  readonly censored?: readonly boolean[];
  readonly families?: readonly Family[];
}): Result<FitComparison> {
  const { families: asked = families, ...data } = input;
  const answers = asked.map((family) => estimateFamily({ ...data, family }));
  const fitted = answers.flatMap((answer) => (answer.ok ? [answer.value] : []));
  const problems = answers.flatMap((answer) => (answer.ok ? [] : answer.problems));
  const [problem, ...more] = problems;
  if (fitted.length === 0 && problem !== undefined) return refuse(problem, ...more);
  const best = Math.max(...fitted.map(({ logLikelihood }) => logLikelihood));
  const total = fitted.reduce((sum, { logLikelihood }) => sum + Math.exp(logLikelihood - best), 0);
  const fits = fitted
    .map(({ family, parameters, logLikelihood, aicc, andersonDarling }) => ({
      family,
      parameters,
      logLikelihood,
      ...(aicc !== undefined && { aicc }),
      ...(andersonDarling !== undefined && { andersonDarling }),
      difference: 2 * (best - logLikelihood),
      weight: Math.exp(logLikelihood - best) / total,
    }))
    .sort((a, b) => a.difference - b.difference);
  const [first, second] = fits;
  const decided = second !== undefined && second.difference >= 2;
  const meaning = sentence(first?.family, second, decided, input.values.length);
  return ok({ fits, decided, meaning }, [...(problems as readonly Warning[])]);
}

function sentence(
  first: Family | undefined,
  second: RankedFit | undefined,
  decided: boolean,
  n: number,
): string {
  if (first === undefined || second === undefined)
    return `Only one family could be fitted to the ${n} values.`;
  const lead = second.difference.toFixed(1);
  return decided
    ? `Of these families the ${first} one fits the ${n} values best, ${lead} in AICc ahead of the ${second.family} one.`
    : `The ${n} values cannot tell the families apart: the ${first} one is only ${lead} in AICc ahead of the ${second.family} one, and below 2 that decides nothing.`;
}
