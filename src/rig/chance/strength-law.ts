import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { logNormalUpper } from "../../stats/mod.ts";

/**
 * What is known of a strength whose logarithm is normal: a mixture over the means and spreads that the pulls leave
 * possible, so that few pulls make a wide law. Parts of one population share its unknown mean and spread.
 */
export type StrengthLaw = {
  readonly meanLog: Float64Array;
  readonly sdLog: Float64Array;
  readonly weight: Float64Array;
  /** How many pulls it rests on; 0 for a rating. */
  readonly n: number;
  /** The same law for one part alone, the mean summed out: a fifteenth of the net. Absent where pulls were stopped. */
  readonly ofOne?: StrengthLaw;
};

/** A strength told by its maker. */
export type Rated = {
  readonly ratedN: number;
  /** "least": a least value without a word of how it was got. It is counted as the mean, which errs to the safe side. */
  readonly ratingMeans: "mean" | "mean minus 3 SD" | "least";
  /** Standard deviation over mean. */
  readonly cv: number;
};

/** Least number of pulls that broke or slipped: below it the spread itself is hardly known at all. */
export const leastPulls = 3;

/**
 * The law of the next connector's strength after these pulls.
 *
 * pullsN above 0, at least three of them not stopped; `stopped` marks those that are lower bounds. With the reference prior
 * 1/σ the spread's logarithm and the mean have known densities, summed here over a net of both (trapezium rule on smooth
 * integrands: about 1e-9); the integral over one part is the t of a prediction, ln x̄ ± t s √(1 + 1/n). Stopped pulls weigh
 * each pair by the chance of having held so much.
 * Source: G. J. Hahn and W. Q. Meeker, Statistical Intervals (1991), 4.7 (from memory); G. E. P. Box and G. C. Tiao, Bayesian
 * Inference in Statistical Analysis (1973), 2.4 (from memory).
 */
export function lawOfPulls(
  pullsN: readonly number[],
  stopped: readonly boolean[] = [],
  field = "pullsN",
): Result<StrengthLaw> {
  const wrong = pullsN.findIndex((force) => !(force > 0 && Number.isFinite(force)));
  if (wrong >= 0)
    return refuse({
      code: "RIG_IMPOSSIBLE",
      message: "A pull's strength is a force above 0.",
      where: { field: `${field}[${wrong}]` },
      found: String(pullsN[wrong]),
      expected: "newtons above 0",
    });
  const ended = pullsN.filter((_, i) => stopped[i] !== true).map(Math.log);
  const held = pullsN.filter((_, i) => stopped[i] === true).map(Math.log);
  const n = ended.length;
  if (n < leastPulls) return refuse(tooFew(n, field));
  const mean = ended.reduce((sum, value) => sum + value, 0) / n;
  const spread = Math.sqrt(ended.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
  if (!(spread > 1e-12))
    return refuse({
      code: "STAT_DEGENERATE",
      message: "Pulls that are all equal say nothing of the scatter of the next.",
      where: { field },
      found: `${n} pulls of ${pullsN[0]} N`,
      expected: "pulls that scatter",
    });
  const law = net(mean, spread, n);
  const all = weighed(law, held, pullsN.length, field);
  return all.ok && held.length === 0 ? ok({ ...all.value, ofOne: ofOne(law) }) : all;
}

/** The law of a part that is told by its rating. */
export function lawOfRating({ ratedN, ratingMeans, cv }: Rated): StrengthLaw {
  const sdLog = Math.sqrt(Math.log1p(cv * cv));
  const meanN = ratingMeans === "mean minus 3 SD" ? ratedN / (1 - 3 * cv) : ratedN;
  return {
    meanLog: Float64Array.of(Math.log(meanN) - (sdLog * sdLog) / 2),
    sdLog: Float64Array.of(sdLog),
    weight: Float64Array.of(1),
    n: 0,
  };
}

const stepsOfMean = 15;

/** Means and spreads with their posterior weights, before anything that was stopped is heard. */
function net(mean: number, spread: number, n: number): StrengthLaw {
  const df = n - 1;
  // The density of λ = ln(σ/s) is exp(−ν λ − (ν/2) e^(−2λ)), highest at 0 with curvature 2ν.
  const logDensity = (lambda: number) => -df * lambda - (df / 2) * Math.exp(-2 * lambda);
  const step = 0.5 / Math.sqrt(2 * df);
  const spreads: number[] = [];
  for (const direction of [-1, 1])
    for (
      let lambda = direction > 0 ? 0 : -step;
      logDensity(lambda) > logDensity(0) - 28;
      lambda += direction * step
    )
      spreads.push(lambda);
  const size = spreads.length * stepsOfMean;
  const [meanLog, sdLog, weight] = [new Float64Array(size), new Float64Array(size), new Float64Array(size)];
  let at = 0;
  for (const lambda of spreads)
    for (let i = 0; i < stepsOfMean; i++) {
      const z = (i - (stepsOfMean - 1) / 2) * 0.9;
      sdLog[at] = spread * Math.exp(lambda);
      meanLog[at] = mean + (z * (sdLog[at] as number)) / Math.sqrt(n);
      weight[at] = Math.exp(logDensity(lambda) - logDensity(0) - (z * z) / 2);
      at++;
    }
  return { meanLog, sdLog, weight, n };
}

/** With the mean summed out, a normal of mean known to σ/√n and spread σ is one of spread σ √(1 + 1/n). */
function ofOne({ meanLog, sdLog, weight, n }: StrengthLaw): StrengthLaw {
  const first = (_: number, j: number) => j % stepsOfMean === (stepsOfMean - 1) / 2;
  const widened = sdLog.filter(first).map((sd) => sd * Math.sqrt(1 + 1 / n));
  const marginal = weight.filter(first);
  const sum = marginal.reduce((total, one) => total + one, 0);
  return { meanLog: meanLog.filter(first), sdLog: widened, weight: marginal.map((one) => one / sum), n };
}

/** Weighs each pair of mean and spread by the chance that the stopped ones held what they held. */
function weighed(law: StrengthLaw, held: readonly number[], n: number, field: string): Result<StrengthLaw> {
  const weight = law.weight.map((own, j) => {
    let log = Math.log(own);
    for (const value of held)
      log += logNormalUpper((value - (law.meanLog[j] as number)) / (law.sdLog[j] as number));
    return Math.exp(log);
  });
  const sum = weight.reduce((total, one) => total + one, 0);
  // The outermost mean of each spread: weight there says that the net does not reach as far as the stopped pulls ask.
  const edge = weight
    .filter((_, j) => j % stepsOfMean === stepsOfMean - 1)
    .reduce((total, one) => total + one, 0);
  if (!(sum > 0) || edge > 1e-4 * sum)
    return refuse({
      code: "STAT_CENSORED",
      message: "The pulls that were stopped held far more than the ones that ended: no one law fits both.",
      where: { field },
      found: `${held.length} stopped, ${law.n} ended`,
      expected: "pulls of one population",
      wayOut: "See whether they were made alike, and pull more of them to their end.",
    });
  return ok({ ...law, weight: weight.map((one) => one / sum), n });
}

function tooFew(found: number, field: string): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: "A chance of failing needs pulls that show a scatter.",
    where: { field },
    found: `${found} that ended by breaking or slipping`,
    expected: `at least ${leastPulls}`,
    wayOut: "Pull more, or give the part a rating with what it means.",
  };
}
