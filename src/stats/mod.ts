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
// Claims, several sources, resampling.
export {
  type Bootstrap,
  type BootstrapInput,
  type BootstrapStatistic,
  bootstrap,
  bootstrapStatistics,
} from "./claims/bootstrap.ts";
export { type Claim, type ClaimInput, claim } from "./claims/claim.ts";
export { type Pool, type Pooled, pool } from "./claims/pool.ts";
// Counts and shares.
export { type ExactTable, exactTable } from "./counts/exact-table.ts";
export { type Proportion, proportion } from "./counts/proportion.ts";
export { type SurvivalCurve, type SurvivalStep, survivalCurve } from "./counts/survival-curve.ts";
// Curves.
export { type Curve, type FitCurveInput, type FittedCurve, fitCurve } from "./curves/fit-curve.ts";
export {
  curveNames,
  type NonlinearFit,
  type NonlinearFitInput,
  nonlinearFit,
} from "./curves/nonlinear-fit.ts";
// Distributions.
export { binomialAtLeast } from "./distributions/binomial.ts";
export { chiSquaredQuantile, chiSquaredTails } from "./distributions/chi-squared.ts";
export { fQuantile, fTails, nonCentralFUpper } from "./distributions/f.ts";
export { logNormalCdf, logNormalQuantile } from "./distributions/log-normal.ts";
export {
  logUpperSlopes,
  sumUpperSlopes,
  type UpperSlopes,
  type UpperSums,
} from "./distributions/log-upper-table.ts";
export { nonCentralTCdf, nonCentralTQuantile, nonCentralTTails } from "./distributions/non-central-t.ts";
export {
  logNormalUpper,
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
// Which law, and does it fit?
export type { AndersonDarling } from "./fit/anderson-darling.ts";
export {
  type Estimate,
  type EstimateInput,
  estimateFamily,
  type Family,
  type Fit,
  type FitInput,
  families,
  fitFamily,
} from "./fit/fit.ts";
export { type FitComparison, fitCompare, type RankedFit } from "./fit/fit-compare.ts";
export { type CompareMany, compareMany, type Pair } from "./groups/compare-many.ts";
export { type CompareTwo, type CompareTwoInput, compareTwo } from "./groups/compare-two.ts";
// Groups: do they scatter alike, are they one population?
export { type EqualSpread, equalSpread } from "./groups/equal-spread.ts";
export type { MannWhitney } from "./groups/mann-whitney.ts";
export type { OneWay } from "./groups/one-way.ts";
export type { Permutation } from "./groups/permutation.ts";
export { type SamePopulation, samePopulation } from "./groups/same-population.ts";
export type { Welch } from "./groups/welch.ts";
export {
  type LowerBound,
  type LowerBoundInput,
  type LowerBoundMethod,
  lowerBound,
  lowerBoundMethods,
} from "./lower-bound.ts";
// Models.
export {
  type BlockedEffects,
  type BlockedInput,
  type BlockedSlope,
  blockedEffects,
  blockedSlope,
  type LevelPair,
} from "./models/blocked-effects.ts";
export { type Columns, type LinearModel, type LinearModelInput, linearModel } from "./models/linear-model.ts";
export { type MixedModel, type MixedModelInput, mixedModel } from "./models/mixed-model.ts";
export { type VariancePart, type VarianceParts, varianceParts } from "./models/variance-parts.ts";
export { type Normality, normality } from "./normality.ts";
// Roots, for the statics of rigs too.
export { findRoot, findRootFrom } from "./numeric/root.ts";
// Linear algebra, for what a plan of pulls can tell.
export { cholesky, solveByFactor } from "./numeric/symmetric.ts";
export { grubbsCritical, type OutlierInput, type Outliers, outliers } from "./outliers.ts";
// Planning.
export { type Aim, detectableDifference, power, sampleSize } from "./planning/power.ts";
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
// Uncertainty of a measurement, by the GUM.
export { coverageFactor, type Shape, shapes } from "./uncertainty/coverage-factor.ts";
export { type Rounded, type RoundInput, roundValue } from "./uncertainty/round.ts";
export {
  type StandardUncertainty,
  standardUncertainty,
  type UncertaintySource,
} from "./uncertainty/standard-uncertainty.ts";
export {
  type BudgetPart,
  budgetDistributions,
  type UncertaintyBudget,
  uncertaintyBudget,
} from "./uncertainty/uncertainty-budget.ts";
