import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { normalCdf, normalQuantile } from "../distributions/normal.ts";
import { sum } from "../numeric/moments.ts";
import { medianIn, select } from "../numeric/select.ts";
import { createRandom, type Random } from "../random/random.ts";
import { differ, noScatter, problemsOfMany, problemsOfShare, problemsOfValues } from "../values.ts";

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
  const everyOne = Int32Array.from({ length: n }, (_, i) => i);
  const estimate = work(everyOne);
  if (!Number.isFinite(estimate)) return refuse(noScatter("A bootstrap", values[0] as number));
  const asked = input.resamples ?? 10_000;
  const resamples = Math.max(200, Math.min(asked, Math.floor(mostWork / n)));
  const random = createRandom(seed);
  const drawn =
    statistic === "mean" ? drawMeans(random, values, resamples) : drawAnew(random, work, n, resamples);
  if (drawn === undefined) return refuse(noScatter("A bootstrap", values[0] as number));
  const partly = drawn.slice();
  const left = jackknife(work, n);
  const centre = sum(drawn) / resamples;
  const z0 = scoreOf(drawn, estimate);
  const shares = [(1 - confidence) / 2, (1 + confidence) / 2].map((share) =>
    interval === "percentile" ? share : shifted(share, z0, left.acceleration),
  );
  return ok(
    {
      estimate,
      interval: [quantileOf(partly, shares[0] as number), quantileOf(partly, shares[1] as number)],
      standardError: Math.sqrt(squaresAbout(drawn, centre) / (resamples - 1)),
      bias: centre - estimate,
      jackknife: { standardError: left.standardError, bias: left.bias },
      resamples,
      seed,
    },
    warningsFor(n, resamples, asked),
  );
}

// The long loops stand in functions of their own: where more follows a loop that was compiled while it ran, each further
// call leaves the compiled code at its end.

/** The statistic of so many resamples; nothing where too many of them have none. */
function drawAnew(random: Random, work: Work, n: number, resamples: number): Float64Array | undefined {
  const drawn = new Float64Array(resamples);
  const places = new Int32Array(n);
  let count = 0;
  // A draw in which everything is equal has no correlation: it is drawn again.
  for (let tries = 0; count < resamples && tries < 10 * resamples; tries++) {
    random.fillBelow(places, n);
    const value = work(places);
    if (Number.isFinite(value)) drawn[count++] = value;
  }
  return count === resamples ? drawn : undefined;
}

/** The same of the mean, to the last bit, in half the time. */
function drawMeans(random: Random, values: readonly number[], resamples: number): Float64Array {
  const drawn = new Float64Array(resamples);
  random.fillSums(drawn, Float64Array.from(values), values.length);
  for (let i = 0; i < resamples; i++) drawn[i] = (drawn[i] as number) / values.length;
  return drawn;
}

function squaresAbout(values: Float64Array, centre: number): number {
  let total = 0;
  for (let i = 0; i < values.length; i++) {
    const off = (values[i] as number) - centre;
    total += off * off;
  }
  return total;
}

/** Where to cut instead of at `share`: corrected for the estimate's place among the draws and for its changing spread. */
function shifted(share: number, z0: number, acceleration: number): number {
  const z = z0 + normalQuantile(share);
  return normalCdf(z0 + z / (1 - acceleration * z));
}

/** The normal score of the estimate's place among the draws. */
function scoreOf(drawn: Float64Array, estimate: number): number {
  // Kept off 0 and 1, where the quantile is infinite.
  const place = twiceBelow(drawn, estimate) / 2 / drawn.length;
  return normalQuantile(Math.min(Math.max(place, 0.5 / drawn.length), 1 - 0.5 / drawn.length));
}

/** Twice the number of values below a limit; one that equals it counts as half. */
function twiceBelow(values: Float64Array, limit: number): number {
  let twice = 0;
  // Counted without a branch: which way a draw lies cannot be foreseen.
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    twice += Number(value < limit) + Number(value <= limit);
  }
  return twice;
}

/** Between order statistics on the scale of the normal quantile, as is usual for tails; orders the draws partly. */
function quantileOf(drawn: Float64Array, share: number): number {
  const at = (drawn.length + 1) * share;
  const low = Math.min(Math.max(Math.floor(at), 1), drawn.length - 1);
  const below = select(drawn, low - 1);
  // Everything after the place is no smaller.
  const above = smallestFrom(drawn, low);
  const score = (k: number) => normalQuantile(k / (drawn.length + 1));
  const part = (normalQuantile(share) - score(low)) / (score(low + 1) - score(low));
  return below + Math.min(Math.max(part, 0), 1) * (above - below);
}

function smallestFrom(values: Float64Array, from: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = from; i < values.length; i++) least = Math.min(least, values[i] as number);
  return least;
}

function jackknife(work: Work, n: number) {
  // For many values one in so many is left out: the acceleration is then next to nothing anyway.
  const stride = Math.max(1, Math.floor((n * n) / mostWork));
  const full = work(Int32Array.from({ length: n }, (_, i) => i));
  const without: number[] = [];
  const others = new Int32Array(n - 1);
  for (let i = 0; i < n; i += stride) {
    for (let k = 0; k < n - 1; k++) others[k] = k < i ? k : k + 1;
    const value = work(others);
    if (Number.isFinite(value)) without.push(value);
  }
  const centre = sum(without) / without.length;
  const squares = sum(without.map((value) => (centre - value) ** 2));
  // Cubes of what is small leave the range of a number: the distances are taken in units of the largest.
  const farthest = without.reduce((far, value) => Math.max(far, Math.abs(centre - value)), 0);
  const power = (exponent: number) => sum(without.map((value) => ((centre - value) / farthest) ** exponent));
  const kept = without.length / n;
  return {
    standardError: Math.sqrt((((n - 1) / n) * squares) / kept),
    bias: (n - 1) * (centre - full),
    acceleration: farthest > 0 ? (power(3) / (6 * power(2) ** 1.5)) * Math.sqrt(kept) : 0,
  };
}

/** A statistic of the values at these places; with the same places it sums in the same order. */
type Work = (places: Int32Array) => number;

function statisticOf(
  statistic: BootstrapStatistic,
  values: readonly number[],
  others: readonly number[],
): Work {
  const [x, y] = [Float64Array.from(values), Float64Array.from(others)];
  const list = new Float64Array(values.length);
  const meanOf = (of: Float64Array, places: Int32Array) => {
    let total = 0;
    for (let i = 0; i < places.length; i++) total += of[places[i] as number] as number;
    return total / places.length;
  };
  const squares = (of: Float64Array, places: Int32Array, mean: number) => {
    let total = 0;
    for (let i = 0; i < places.length; i++) {
      const rest = (of[places[i] as number] as number) - mean;
      total += rest * rest;
    }
    return total;
  };
  const works: Record<BootstrapStatistic, Work> = {
    mean: (places) => meanOf(x, places),
    median: (places) => {
      const drawn = places.length === list.length ? list : new Float64Array(places.length);
      for (let i = 0; i < places.length; i++) drawn[i] = x[places[i] as number] as number;
      return medianIn(drawn);
    },
    sd: (places) => Math.sqrt(squares(x, places, meanOf(x, places)) / (places.length - 1)),
    cv: (places) => {
      const mean = meanOf(x, places);
      return Math.sqrt(squares(x, places, mean) / (places.length - 1)) / mean;
    },
    correlation: (places) => {
      const [mx, my] = [meanOf(x, places), meanOf(y, places)];
      let products = 0;
      for (let i = 0; i < places.length; i++) {
        const place = places[i] as number;
        products += ((x[place] as number) - mx) * ((y[place] as number) - my);
      }
      return products / Math.sqrt(squares(x, places, mx) * squares(y, places, my));
    },
  };
  return works[statistic];
}

function problemsOf(input: BootstrapInput, confidence: number): Problem[] {
  const { values, others, statistic, resamples = 10_000 } = input;
  const wayOut = "For so many values the interval of the summary is as good.";
  const many = problemsOfMany(values.length, mostValues, "A bootstrap", "values", wayOut);
  if (many.length > 0) return many;
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
  if (problems.length === 0 && !differ(values)) problems.push(noScatter("A bootstrap", values[0] as number));
  return problems;
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
