import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { chiSquaredQuantile } from "../distributions/chi-squared.ts";
import { sum } from "../numeric/moments.ts";
import {
  noScatter,
  problemsOfCensored,
  problemsOfPositive,
  problemsOfShare,
  problemsOfValues,
  tooFew,
} from "../values.ts";
import { type AndersonDarling, andersonDarlingNormal, andersonDarlingWeibull } from "./anderson-darling.ts";
import { extremeLaw, fitLocationScale, normalLaw, profiledUpTo } from "./location-scale.ts";

export const families = ["normal", "lognormal", "weibull"] as const;
export type Family = (typeof families)[number];

export type FitInput = {
  readonly values: readonly number[];
  /** True where the true value lies above the value given. */
  readonly censored?: readonly boolean[];
  readonly family: Family;
  /** Of the intervals; 0.95 unless said. */
  readonly confidence?: number;
};

export type Fit = {
  readonly family: Family;
  readonly n: number;
  readonly censoredCount: number;
  /** mean and sd; meanLog and sdLog; or shape and scale. The sd is the maximum-likelihood one, with n. */
  readonly parameters: Readonly<Record<string, number>>;
  /** Profile-likelihood intervals of the same. */
  readonly intervals: Readonly<Record<string, readonly [low: number, high: number]>>;
  /** On the scale of the values. */
  readonly logLikelihood: number;
  /** Absent for n < 4. */
  readonly aicc?: number;
  /** Absent with censored values, and for n < 8. */
  readonly andersonDarling?: AndersonDarling;
};

/**
 * Which normal, log-normal or Weibull law fits the values best, how well its parameters are known, and whether it fits.
 *
 * Values in any unit (above 0 for log-normal and Weibull), right-censored where marked. Refused for fewer than two
 * measured values that differ, and where the search does not settle.
 * Formula: maximum likelihood; intervals where 2 (L_max − L_profile) stays below the quantile of chi-squared with one
 * degree of freedom; AICc = −2L + 4 + 12/(n − 3), n counting censored values too.
 * Source: W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data (1998), chapter 8; K. P. Burnham and
 * D. R. Anderson, Model Selection and Multimodel Inference (2002), 2.4.
 *
 * @example
 * const answer = fitFamily({ values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34], family: "weibull" });
 * answer.ok && answer.value.parameters.shape // 18.749…
 */
export function fitFamily(input: FitInput): Result<Fit> {
  const { values, censored, family, confidence = 0.95 } = input;
  const measured = values.filter((_, i) => censored?.[i] !== true);
  const name = `A ${family} fit`;
  const [problem, ...more] = [
    ...problemsOfFamily(family),
    ...problemsOfValues(values, 2, name),
    ...problemsOfCensored(values, censored),
    ...problemsOfShare(confidence, "confidence"),
    ...(family === "normal" ? [] : problemsOfPositive(values, name)),
    ...problemsOfScatter(measured, name),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const log = family !== "normal";
  const onScale = (list: readonly number[]) => (log ? list.map(Math.log) : list);
  const atLeast = values.filter((_, i) => censored?.[i] === true);
  const law = family === "weibull" ? extremeLaw : normalLaw;
  const observations = { measured: onScale(measured), atLeast: onScale(atLeast) };
  const found = fitLocationScale(law, observations, chiSquaredQuantile(confidence, 1));
  const named = found && nameParameters(family, found);
  if (found === undefined || named === undefined || !allFinite(named)) return refuse(notSettled(family));
  const n = values.length;
  const logLikelihood = found.logLikelihood - (log ? sum(observations.measured) : 0);
  const complete = atLeast.length === 0;
  const z = observations.measured.map((y) => (y - found.location) / found.spread);
  return ok(
    {
      family,
      n,
      censoredCount: atLeast.length,
      ...named,
      logLikelihood,
      ...(n > 3 && { aicc: -2 * logLikelihood + 4 + 12 / (n - 3) }),
      ...(complete && n > 7 && { andersonDarling: goodness(family, z) }),
    },
    warningsFor(n, complete),
  );
}

type Named = Pick<Fit, "parameters" | "intervals">;
type Found = NonNullable<ReturnType<typeof fitLocationScale>>;

function nameParameters(family: Family, found: Found): Named {
  const { location, spread, locationInterval, spreadInterval } = found;
  if (family === "weibull") {
    return {
      parameters: { shape: 1 / spread, scale: Math.exp(location) },
      intervals: {
        shape: [1 / spreadInterval[1], 1 / spreadInterval[0]],
        scale: [Math.exp(locationInterval[0]), Math.exp(locationInterval[1])],
      },
    };
  }
  const [mean, sd] = family === "normal" ? ["mean", "sd"] : ["meanLog", "sdLog"];
  return {
    parameters: { [mean as string]: location, [sd as string]: spread },
    intervals: { [mean as string]: locationInterval, [sd as string]: spreadInterval },
  };
}

/** The test of fit takes the sd with n − 1 for the normal laws, and the fitted parameters for Weibull. */
function goodness(family: Family, z: readonly number[]): AndersonDarling {
  if (family === "weibull") return andersonDarlingWeibull(z);
  const shrink = Math.sqrt((z.length - 1) / z.length);
  return andersonDarlingNormal(z.map((value) => value * shrink));
}

function allFinite({ parameters, intervals }: Named): boolean {
  return [...Object.values(parameters), ...Object.values(intervals).flat()].every(Number.isFinite);
}

function problemsOfFamily(family: string): Problem[] {
  if ((families as readonly string[]).includes(family)) return [];
  return [
    {
      code: "INPUT_UNKNOWN",
      message: "There is no such family of distributions.",
      where: { field: "family" },
      found: String(family),
      expected: `one of ${families.join(", ")}`,
    },
  ];
}

function problemsOfScatter(measured: readonly number[], name: string): Problem[] {
  const first = measured[0];
  if (first === undefined || measured.length < 2)
    return [tooFew(measured.length, 2, `${name}, of values that are no mere lower bounds,`)];
  return measured.every((value) => value === first) ? [noScatter(name, first)] : [];
}

function notSettled(family: Family): Problem {
  return {
    code: "STAT_NOT_SETTLED",
    message: `The search for the best ${family} distribution did not settle; no number is given.`,
    where: { field: "values" },
    wayOut: "Look at the values for one that is far from all others, or try another family.",
  };
}

function warningsFor(n: number, complete: boolean): Warning[] {
  const few = (least: number, what: string): Warning => ({
    code: "STAT_TOO_FEW",
    message: `${what} needs ${least} values, has ${n}.`,
    found: String(n),
    expected: `${least} or more`,
  });
  return [
    ...(n > 3 ? [] : [few(4, "AICc")]),
    ...(n <= profiledUpTo
      ? []
      : [
          {
            code: "STAT_APPROXIMATE" as const,
            message: `Beyond ${profiledUpTo} values the intervals are taken from the curvature of the likelihood.`,
            found: String(n),
          },
        ]),
    ...(complete && n < 8 ? [few(8, "The Anderson-Darling test")] : []),
    ...(complete
      ? []
      : [
          {
            code: "STAT_CENSORED" as const,
            message: "The Anderson-Darling test is not given where values are only lower bounds.",
          },
        ]),
  ];
}
