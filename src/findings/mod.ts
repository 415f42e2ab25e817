/**
 * What a series shows: each pull judged, each cell of the plan in numbers, and sentences made from the numbers alone.
 *
 * @example
 * const shown = judgeSeries({ id: "ser-1", ...seriesFields.parse({ title: "Loops" }) }, pulls);
 * shown.findings.map(({ sentence }) => sentence) // ["4 pulls in 1 cell of the plan: 4 count (4 broke).", …]
 */

export { cellsOfPlan } from "./cells-of-plan.ts";
export { basisText, ratingWords } from "./compare-cells.ts";
export type {
  ComparedBy,
  Estimate,
  FactorEffect,
  FailurePlaces,
  Interaction,
  LevelDifference,
  LevelShown,
  OrderTrend,
  RateEffect,
  ScatterPart,
  ScatterParts,
  SettlingShown,
  Significance,
} from "./effect-types.ts";
export { hasStrength, judgePull, pullName } from "./judge-pull.ts";
export { judgeSeries } from "./judge-series.ts";
export { meanMinusSdConfidence } from "./mean-minus-sd-confidence.ts";
export { asPublished } from "./outside/as-published.ts";
export type { ClaimVerdict, JudgedClaim, PooledSeries, PooledSource } from "./outside-types.ts";
export { type BudgetInput, type PlanBudget, planBudget } from "./planning/budget.ts";
export { type BuryFactor, buryFactor } from "./planning/bury-factor.ts";
export {
  type BuryPlan,
  type BuryPlanInput,
  buryPlan,
  checkBuryPlan,
  combineBuryPlan,
  mostBuryLevels,
  mostPlanSeries,
  type SimulatedBury,
  type Spread,
  simulateBuryPlan,
  usualSeries,
} from "./planning/bury-plan.ts";
export { type BuryTruth, buryAtChance, slipMedian } from "./planning/bury-truth.ts";
export { type BoundAtCount, boundsAtCounts, type HowMany, howMany } from "./planning/how-many.ts";
export { type PlanChange, planChanges } from "./planning/plan-changes.ts";
export { buryError, type ProposedBuries, proposeBuries } from "./planning/propose-buries.ts";
export {
  customaryCv,
  type ExpectedScatter,
  enoughFreedom,
  expectedScatter,
  type ScatterOfCell,
  typedScatter,
} from "./planning/scatter.ts";
export { scatterOfCells } from "./planning/scatter-of-cells.ts";
export { truthOfPulls } from "./planning/truth-of-pulls.ts";
export {
  decimalsFor,
  forceFigures,
  forceText,
  meanUncertainty,
  percentText,
  singlePullUncertainty,
  toUncertainty,
} from "./rounding.ts";
export {
  prepareSlipOrBreak,
  refitSlipOrBreak,
  type SlipOrBreakPlan,
  type SlipOrBreakRefits,
} from "./slip-or-break/plan.ts";
export { pullsForSlipOrBreak, variesBury } from "./slip-or-break/pulls-of-series.ts";
export { fewestRefits, mostCovariates, mostPlacesAt, mostPulls, mostRefits } from "./slip-or-break/sample.ts";
export type {
  LeftOutPull,
  OtherFactor,
  SeriesSlipOrBreak,
  SlipOrBreakAsked,
  SlipOrBreakOfSeries,
  SlipOrBreakPoint,
} from "./slip-or-break/series-types.ts";
export { combineSlipOrBreak, slipOrBreak } from "./slip-or-break/slip-or-break.ts";
export {
  buryBoundText,
  buryText,
  chanceText,
  levelText,
  stateSlipOrBreak,
} from "./slip-or-break/state-of-series.ts";
export {
  type CountStatement,
  type CurvePoint,
  type Estimated,
  type FittedBreak,
  type FittedGrowth,
  type Growth,
  growths,
  type LengthAtChance,
  type MovedStrength,
  movedStrengths,
  type PullsToSettle,
  type SlipOrBreak,
  type SlipOrBreakInput,
  type SlipOrBreakPull,
} from "./slip-or-break/types.ts";
export { type BoundAsked, boundMethodWords, statedBy } from "./stated-bound.ts";
export type {
  CellFindings,
  CellKind,
  ClaimToJudge,
  Evidence,
  Finding,
  JudgedPull,
  LeftOutAs,
  Outside,
  PullToJudge,
  SeriesFindings,
  SeriesToPool,
  StatedBound,
  StatedBy,
  WhatMattered,
} from "./types.ts";
