import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { normalCdf, normalQuantile } from "../distributions/normal.ts";
import { medianOf } from "../groups/groups.ts";
import { sum } from "../numeric/moments.ts";
import { createRandom } from "../random/random.ts";
import { noScatter, problemsOfShare, problemsOfValues, sorted } from "../values.ts";

export const bootstrapStatistics = ["mean", "median", "sd", "cv", "correlation"] as const;
export type BootstrapStatistic = (typeof bootstrapStatistics)[number];

export type BootstrapInput = {
  readonly values: readonly number[];
  /** For the correlation: the other value of each pair. */
  readonly others?: readonly number[];
  readonly statistic: BootstrapStatistic;
  readonly resamples?: number;
  readonly seed?: number;
  readonly interval?: "bca" | "percentile";
  readonly confidence?: number;
};

export type Bootstrap = {
  readonly estimate: number;
  readonly interval: readonly [low: number, high: number];
  readonly standardError: number;
  readonly bias: number;
  /** The same two without chance, by leaving out one value after the other. */
  readonly jackknife: { readonly standardError: number; readonly bias: number };
  readonly resamples: number;
  readonly seed: number;
};

/** Steps of work at most, so that many values do not take an hour. */
const mostWork = 2e7;
const mostValues = 10_000;

/**
 * How uncertain a statistic is, by drawing anew from the values themselves.
 *
 * Three or more values that differ; 10 000 resamples unless said, from the seed (1). The interval is bias-corrected and
 * accelerated ("bca") unless "percentile" is asked for. For few values it is too narrow, and a warning says so below 15.
 * Formula: B. Efron and R. J. Tibshirani, An Introduction to the Bootstrap (1993), chapters 11, 13 and 14.
 *
 * @example
 * const answer = bootstrap({ values: [54.5, 55.2, 52.3, 57.2, 48.3, 50.6, 51.8], statistic: "cv" });
 * answer.ok && answer.value.resamples // 10000
 */
export function bootstrap(input: BootstrapInput): Result<Bootstrap> {
  const { values, others, statistic, seed = 1, interval = "bca", confidence = 0.95 } = input;
  const [problem, ...more] = problemsOf(input, confidence);
  if (problem !== undefined) return refuse(problem, ...more);
  const n = values.length;
  const work = statisticOf(statistic, values, others ?? values);
  const everyOne = Array.from({ length: n }, (_, i) => i);
  const estimate = work(everyOne);
  if (!Number.isFinite(estimate)) return refuse(noScatter("A bootstrap", values[0] as number));
  const asked = input.resamples ?? 10_000;
  const resamples = Math.max(200, Math.min(asked, Math.floor(mostWork / n)));
  const random = createRandom(seed);
  const drawn: number[] = [];
  const places = new Array<number>(n);
  // A draw in which everything is equal has no correlation: it is drawn again.
  for (let tries = 0; drawn.length < resamples && tries < 10 * resamples; tries++) {
    for (let i = 0; i < n; i++) places[i] = random.below(n);
    const value = work(places);
    if (Number.isFinite(value)) drawn.push(value);
  }
  if (drawn.length < resamples) return refuse(noScatter("A bootstrap", values[0] as number));
  const ordered = sorted(drawn);
  const left = jackknife(work, n);
  const centre = sum(drawn) / resamples;
  const shares = [(1 - confidence) / 2, (1 + confidence) / 2].map((share) =>
    interval === "percentile" ? share : shifted(share, ordered, estimate, left.acceleration),
  );
  return ok(
    {
      estimate,
      interval: [quantileOf(ordered, shares[0] as number), quantileOf(ordered, shares[1] as number)],
      standardError: Math.sqrt(sum(drawn.map((value) => (value - centre) ** 2)) / (resamples - 1)),
      bias: centre - estimate,
      jackknife: { standardError: left.standardError, bias: left.bias },
      resamples,
      seed,
    },
    warningsFor(n, resamples, asked),
  );
}

/** Where to cut instead of at `share`: corrected for the estimate's place among the draws and for its changing spread. */
function shifted(share: number, ordered: readonly number[], estimate: number, acceleration: number): number {
  const below =
    ordered.filter((value) => value < estimate).length +
    ordered.filter((value) => value === estimate).length / 2;
  // Kept off 0 and 1, where the quantile is infinite.
  const place = Math.min(Math.max(below / ordered.length, 0.5 / ordered.length), 1 - 0.5 / ordered.length);
  const z0 = normalQuantile(place);
  const z = z0 + normalQuantile(share);
  return normalCdf(z0 + z / (1 - acceleration * z));
}

/** Between order statistics on the scale of the normal quantile, as is usual for tails. */
function quantileOf(ordered: readonly number[], share: number): number {
  const at = (ordered.length + 1) * share;
  const low = Math.min(Math.max(Math.floor(at), 1), ordered.length - 1);
  const below = ordered[low - 1] as number;
  const above = ordered[low] as number;
  const score = (k: number) => normalQuantile(k / (ordered.length + 1));
  const part = (normalQuantile(share) - score(low)) / (score(low + 1) - score(low));
  return below + Math.min(Math.max(part, 0), 1) * (above - below);
}

function jackknife(work: (places: readonly number[]) => number, n: number) {
  // For many values one in so many is left out: the acceleration is then next to nothing anyway.
  const stride = Math.max(1, Math.floor((n * n) / mostWork));
  const all = Array.from({ length: n }, (_, i) => i);
  const full = work(all);
  const without: number[] = [];
  for (let i = 0; i < n; i += stride) {
    const value = work(all.filter((place) => place !== i));
    if (Number.isFinite(value)) without.push(value);
  }
  const centre = sum(without) / without.length;
  const squares = sum(without.map((value) => (centre - value) ** 2));
  const cubes = sum(without.map((value) => (centre - value) ** 3));
  const kept = without.length / n;
  return {
    standardError: Math.sqrt((((n - 1) / n) * squares) / kept),
    bias: (n - 1) * (centre - full),
    acceleration: squares > 0 ? (cubes / (6 * squares ** 1.5)) * Math.sqrt(kept) : 0,
  };
}

function statisticOf(statistic: BootstrapStatistic, values: readonly number[], others: readonly number[]) {
  const pick = (places: readonly number[], from: readonly number[]) => places.map((i) => from[i] as number);
  const mean = (list: readonly number[]) => list.reduce((total, value) => total + value, 0) / list.length;
  const products = (a: readonly number[], b: readonly number[]) => {
    const [ma, mb] = [mean(a), mean(b)];
    return a.reduce((total, value, i) => total + (value - ma) * ((b[i] as number) - mb), 0);
  };
  const sd = (list: readonly number[]) => Math.sqrt(products(list, list) / (list.length - 1));
  const works: Record<BootstrapStatistic, (places: readonly number[]) => number> = {
    mean: (places) => mean(pick(places, values)),
    median: (places) => medianOf(sorted(pick(places, values))),
    sd: (places) => sd(pick(places, values)),
    cv: (places) => sd(pick(places, values)) / mean(pick(places, values)),
    correlation: (places) => {
      const [a, b] = [pick(places, values), pick(places, others)];
      return products(a, b) / Math.sqrt(products(a, a) * products(b, b));
    },
  };
  return works[statistic];
}

function problemsOf(input: BootstrapInput, confidence: number): Problem[] {
  const { values, others, statistic, resamples = 10_000 } = input;
  if (values.length > mostValues) return [tooMany(values.length)];
  const problems = [
    ...problemsOfValues(values, 3, "A bootstrap"),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (!bootstrapStatistics.includes(statistic))
    problems.push({
      code: "INPUT_UNKNOWN",
      message: "There is no such statistic.",
      where: { field: "statistic" },
      found: String(statistic),
      expected: `one of ${bootstrapStatistics.join(", ")}`,
    });
  if (!(Number.isInteger(resamples) && resamples >= 200 && resamples <= 1e6))
    problems.push({
      code: "STAT_VALUE",
      message: "The number of resamples must be from 200 to 1 000 000.",
      where: { field: "resamples" },
      found: String(resamples),
    });
  if (statistic === "correlation" && others?.length !== values.length)
    problems.push({
      code: "INPUT_FIELD",
      message: "A correlation needs a second value for each.",
      where: { field: "others" },
      found: String(others?.length ?? 0),
      expected: String(values.length),
    });
  if (others !== undefined) problems.push(...problemsOfValues(others, 3, "A bootstrap", "others"));
  if (problems.length === 0 && values.every((value) => value === values[0]))
    problems.push(noScatter("A bootstrap", values[0] as number));
  return problems;
}

function tooMany(n: number): Problem {
  return {
    code: "STAT_VALUE",
    message: `A bootstrap is for up to ${mostValues} values.`,
    where: { field: "values" },
    found: String(n),
    expected: `${mostValues} or fewer`,
    wayOut: "For so many values the interval of the summary is as good.",
  };
}

function warningsFor(n: number, made: number, asked: number): Warning[] {
  return [
    ...(n < 15
      ? [
          {
            code: "STAT_APPROXIMATE" as const,
            message: `Drawing anew from ${n} values understates how uncertain the statistic is.`,
            found: String(n),
          },
        ]
      : []),
    ...(made < asked
      ? [
          {
            code: "STAT_APPROXIMATE" as const,
            message: "For so many values fewer resamples were drawn than asked for.",
            found: String(made),
          },
        ]
      : []),
  ];
}
