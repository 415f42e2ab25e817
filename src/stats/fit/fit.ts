import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { conditionalNormal, conditionalWeibull } from "../bounds/conditional-law.ts";
import { chiSquaredQuantile } from "../distributions/chi-squared.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { sum } from "../numeric/moments.ts";
import {
  differ,
  largest,
  noScatter,
  problemsOfCensored,
  problemsOfPositive,
  problemsOfShare,
  problemsOfValues,
  smallest,
  tooFew,
} from "../values.ts";
import { type AndersonDarling, andersonDarlingNormal, andersonDarlingWeibull } from "./anderson-darling.ts";
import { fitExtremeValue } from "./extreme-value.ts";
import type { Ends, LocationScale, LocationScaleFit, Observations } from "./location-scale.ts";
import { fitNormal, profiledUpTo } from "./normal.ts";

export const families = ["normal", "lognormal", "weibull"] as const;
export type Family = (typeof families)[number];

export type EstimateInput = {
  readonly values: readonly number[];
  /** True where the true value lies above the value given. */
  readonly censored?: readonly boolean[];
  readonly family: Family;
};

export type FitInput = EstimateInput & {
  /** Of the intervals; 0.95 unless said. */
  readonly confidence?: number;
};

export type Estimate = {
  readonly family: Family;
  readonly n: number;
  readonly censoredCount: number;
  /** mean and sd; meanLog and sdLog; or shape and scale. The sd is the maximum-likelihood one, with n. */
  readonly parameters: Readonly<Record<string, number>>;
  /** On the scale of the values. */
  readonly logLikelihood: number;
  /** Absent for n < 4. */
  readonly aicc?: number;
  /** Absent with censored values, and for n < 8. */
  readonly andersonDarling?: AndersonDarling;
};

type Intervals = Readonly<Record<string, readonly [low: number, high: number]>>;

export type Fit = Estimate & {
  /** Profile-likelihood intervals of the parameters. For few values they are too short. */
  readonly intervals: Intervals;
  /**
   * Intervals that hold what they claim at any number of values: exact for complete ones. With lower bounds among fewer
   * than 20 they hold up to 2.6 points less often than they say; docs/methods/fit.md has the figures.
   * Absent where there are so many values, or lower bounds, that the others are as good.
   */
  readonly calibratedIntervals?: Intervals;
};

/**
 * Which normal, log-normal or Weibull law fits the values best, how well its parameters are known, and whether it fits.
 *
 * Values in any unit (above 0 for log-normal and Weibull), right-censored where marked. Refused for fewer than two
 * measured values that differ, and where the search does not settle.
 * Formula: maximum likelihood; intervals where 2 (L_max − L_profile) stays below the quantile of chi-squared with one
 * degree of freedom; calibrated ones by Student's t and chi-squared for complete normal values, else conditional on the
 * pattern of the values; AICc = −2L + 4 + 12/(n − 3), n counting censored values too.
 * Source: W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data (1998), chapter 8; J. F. Lawless,
 * Statistical Models and Methods for Lifetime Data, 2nd ed. (2003), 5.1.2 and appendix E; K. P. Burnham and
 * D. R. Anderson, Model Selection and Multimodel Inference (2002), 2.4.
 *
 * @example
 * const answer = fitFamily({ values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34], family: "weibull" });
 * answer.ok && answer.value.parameters.shape // 18.749…
 */
export function fitFamily(input: FitInput): Result<Fit> {
  const { family, confidence = 0.95 } = input;
  const [problem, ...more] = [...problemsOf(input), ...problemsOfShare(confidence, "confidence")];
  if (problem !== undefined) return refuse(problem, ...more);
  const observations = observationsOf(input);
  const found = search(family, observations);
  if (found === undefined) return refuse(notSettled(family));
  const intervals = nameIntervals(family, found.profile(chiSquaredQuantile(confidence, 1)));
  if (!Object.values(intervals).flat().every(Number.isFinite)) return refuse(notSettled(family));
  const calibrated = calibratedEnds(family, observations, found, confidence);
  return ok(
    {
      ...describe(family, observations, found),
      intervals,
      ...(calibrated !== undefined && { calibratedIntervals: nameIntervals(family, calibrated) }),
    },
    warningsFor(family, observations, calibrated !== undefined),
  );
}

/** The same without intervals, for where only the parameters or the likelihood are wanted: many times as fast. */
export function estimateFamily(input: EstimateInput): Result<Estimate> {
  const [problem, ...more] = problemsOf(input);
  if (problem !== undefined) return refuse(problem, ...more);
  const observations = observationsOf(input);
  const found = search(input.family, observations);
  if (found === undefined) return refuse(notSettled(input.family));
  return ok(describe(input.family, observations, found));
}

function observationsOf({ values, censored, family }: EstimateInput): Observations {
  const measured: number[] = [];
  const atLeast: number[] = [];
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    (censored?.[i] === true ? atLeast : measured).push(family === "normal" ? value : Math.log(value));
  }
  return { measured, atLeast };
}

function search(family: Family, observations: Observations): LocationScaleFit | undefined {
  const found = family === "weibull" ? fitExtremeValue(observations) : fitNormal(observations);
  if (found === undefined) return undefined;
  return Object.values(nameParameters(family, found)).every(Number.isFinite) ? found : undefined;
}

function describe(family: Family, { measured, atLeast }: Observations, found: LocationScale): Estimate {
  const n = measured.length + atLeast.length;
  const logLikelihood = found.logLikelihood - (family === "normal" ? 0 : sum(measured));
  const standardised = () => measured.map((y) => (y - found.location) / found.spread);
  return {
    family,
    n,
    censoredCount: atLeast.length,
    parameters: nameParameters(family, found),
    logLikelihood,
    ...(n > 3 && { aicc: -2 * logLikelihood + 4 + 12 / (n - 3) }),
    ...(atLeast.length === 0 && n > 7 && { andersonDarling: goodness(family, standardised()) }),
  };
}

/** Beyond so many lower bounds the integral behind the calibrated normal intervals takes seconds. */
const calibratedMarks = 300;

function calibratedEnds(
  family: Family,
  observations: Observations,
  found: LocationScale,
  confidence: number,
): Ends | undefined {
  const { measured, atLeast } = observations;
  const n = measured.length + atLeast.length;
  const tails = [(1 - confidence) / 2, (1 + confidence) / 2] as const;
  if (family !== "weibull" && atLeast.length === 0) {
    // The spread found is the one with n; the exact laws are those of the one with n − 1.
    const half = (studentTQuantile(tails[1], n - 1) * found.spread) / Math.sqrt(n - 1);
    const end = (share: number) => found.spread * Math.sqrt(n / chiSquaredQuantile(share, n - 1));
    return {
      locationInterval: [found.location - half, found.location + half],
      spreadInterval: [end(tails[1]), end(tails[0])],
    };
  }
  if (n > profiledUpTo || (family !== "weibull" && atLeast.length > calibratedMarks)) return undefined;
  const law = family === "weibull" ? conditionalWeibull(observations) : conditionalNormal(observations);
  return {
    locationInterval: [law.placeBelow(0, tails[0]), law.placeBelow(0, tails[1])],
    spreadInterval: [law.spreadBelow(tails[0]), law.spreadBelow(tails[1])],
  };
}

function nameParameters(family: Family, { location, spread }: LocationScale): Estimate["parameters"] {
  if (family === "weibull") return { shape: 1 / spread, scale: Math.exp(location) };
  return family === "normal" ? { mean: location, sd: spread } : { meanLog: location, sdLog: spread };
}

function nameIntervals(family: Family, { locationInterval, spreadInterval }: Ends): Intervals {
  if (family === "weibull") {
    return {
      shape: [1 / spreadInterval[1], 1 / spreadInterval[0]],
      scale: [Math.exp(locationInterval[0]), Math.exp(locationInterval[1])],
    };
  }
  return family === "normal"
    ? { mean: locationInterval, sd: spreadInterval }
    : { meanLog: locationInterval, sdLog: spreadInterval };
}

/** The test of fit takes the sd with n − 1 for the normal laws, and the fitted parameters for Weibull. */
function goodness(family: Family, z: readonly number[]): AndersonDarling {
  if (family === "weibull") return andersonDarlingWeibull(z);
  const shrink = Math.sqrt((z.length - 1) / z.length);
  return andersonDarlingNormal(z.map((value) => value * shrink));
}

function problemsOf({ values, censored, family }: EstimateInput): Problem[] {
  const name = `A ${family} fit`;
  const problems = [
    ...problemsOfFamily(family),
    ...problemsOfValues(values, 2, name),
    ...problemsOfCensored(values, censored),
    ...(family === "normal" ? [] : problemsOfPositive(values, name)),
  ];
  const measured = values.filter((_, i) => censored?.[i] !== true);
  return problems.length > 0 ? problems : problemsOfScatter(measured, family, name);
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

function problemsOfScatter(measured: readonly number[], family: Family, name: string): Problem[] {
  const first = measured[0];
  if (first === undefined || measured.length < 2)
    return [tooFew(measured.length, 2, `${name}, of values that are no mere lower bounds,`)];
  // The logarithms of values that hardly differ may be equal.
  const apart = differ(measured) && (family === "normal" || differ(logsOfEnds(measured)));
  return apart ? [] : [noScatter(name, first)];
}

/** The logarithms of the lowest and the highest, between which all others lie. */
function logsOfEnds(values: readonly number[]): number[] {
  return [Math.log(smallest(values)), Math.log(largest(values))];
}

function notSettled(family: Family): Problem {
  return {
    code: "STAT_NOT_SETTLED",
    message: `The search for the best ${family} distribution did not settle; no number is given.`,
    where: { field: "values" },
    wayOut: "Look at the values for one that is far from all others, or try another family.",
  };
}

function warningsFor(family: Family, { measured, atLeast }: Observations, calibrated: boolean): Warning[] {
  const n = measured.length + atLeast.length;
  const complete = atLeast.length === 0;
  const few = (least: number, what: string): Warning => ({
    code: "STAT_TOO_FEW",
    message: `${what} needs ${least} values, has ${n}.`,
    found: String(n),
    expected: `${least} or more`,
  });
  return [
    ...(n > 3 ? [] : [few(4, "AICc")]),
    ...(complete && n < 8 ? [few(8, "The Anderson-Darling test")] : []),
    ...(complete
      ? []
      : [
          {
            code: "STAT_CENSORED" as const,
            message: "The Anderson-Darling test is not given where values are only lower bounds.",
          },
        ]),
    ...(complete || n <= profiledUpTo || family === "weibull"
      ? []
      : [
          {
            code: "STAT_APPROXIMATE" as const,
            message: `Beyond ${profiledUpTo} values the intervals are taken from the curvature of the likelihood.`,
            found: String(n),
          },
        ]),
    ...(calibrated && !complete
      ? [
          {
            code: "STAT_APPROXIMATE" as const,
            message: "With values that are only lower bounds the calibrated intervals are approximate.",
            found: `${atLeast.length} such ${atLeast.length === 1 ? "value" : "values"}`,
          },
        ]
      : []),
    ...(calibrated
      ? []
      : [
          {
            code: "STAT_APPROXIMATE" as const,
            message: `Calibrated intervals are worked out for up to ${profiledUpTo} values, and for the normal laws up to ${calibratedMarks} lower bounds; beyond that the intervals of the likelihood are as good.`,
            found: `${n} values, ${atLeast.length} of them lower bounds`,
          },
        ]),
  ];
}
