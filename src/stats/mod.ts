/**
 * Statistics on bare numbers: what a handful of values shows, what may be claimed from it, and with what confidence.
 * Every statistic is refused with a reason where it cannot be given, and never comes out as NaN, null or 0.
 *
 * @example
 * const answer = toleranceFactor({ n: 5, content: 0.95, confidence: 0.95, sides: "one" });
 * answer.ok && answer.value.factor // 4.2027
 */

// What may be claimed: bounds.
export { hansonKoopmansFactor } from "./bounds/hanson-koopmans.ts";
export { distributionFreeOrder, type OrderStatistic } from "./bounds/order-statistic.ts";
// Distributions.
export { binomialAtLeast } from "./distributions/binomial.ts";
export { chiSquaredQuantile, chiSquaredTails } from "./distributions/chi-squared.ts";
export { fQuantile, fTails, nonCentralFUpper } from "./distributions/f.ts";
export { logNormalCdf, logNormalQuantile } from "./distributions/log-normal.ts";
export { nonCentralTCdf, nonCentralTQuantile, nonCentralTTails } from "./distributions/non-central-t.ts";
export {
  normalCdf,
  normalDensity,
  normalQuantile,
  normalUpper,
  normalUpperQuantile,
} from "./distributions/normal.ts";
export { studentTCdf, studentTQuantile, studentTTails, studentTTwoSided } from "./distributions/student-t.ts";
export {
  studentizedRangeCdf,
  studentizedRangeQuantile,
  studentizedRangeTails,
} from "./distributions/studentized-range.ts";
export { weibullCdf, weibullQuantile, weibullUpper } from "./distributions/weibull.ts";
export {
  type LowerBound,
  type LowerBoundInput,
  type LowerBoundMethod,
  lowerBound,
  lowerBoundMethods,
} from "./lower-bound.ts";
// Chance, from a seed.
export { createRandom, type Random } from "./random/random.ts";
// Special functions.
export { betaRegularized, betaTails } from "./special/beta.ts";
export { erf, erfc } from "./special/error-function.ts";
export {
  gammaRegularized,
  gammaRegularizedLower,
  gammaRegularizedUpper,
  logGamma,
  type Tails,
} from "./special/gamma.ts";
// What the values show.
export { type Summary, standardDeviation, summary } from "./summary.ts";
export { type ToleranceFactorInput, toleranceFactor } from "./tolerance-factor.ts";
