/**
 * A question and what is made and pulled to answer it: series, factors and levels, specimens, the bench, pulls with
 * their outcomes.
 *
 * @example
 * outcomeFields.parse({ kind: "broke", place: "taper end" }).kind // "broke"
 */
export {
  type BenchFields,
  benchFields,
  type HardwareFields,
  hardwareFields,
  type LoadCellFields,
  loadCellFields,
} from "./bench.ts";
export { type ClaimFields, claimFields } from "./claim.ts";
export { type Outcome, type OutcomeKind, outcomeFields } from "./outcome.ts";
export { type Override, overrideFields } from "./override.ts";
export { mostPlannedPulls, type PlannedPull, planPulls } from "./plan-pulls.ts";
export { type PooledSeriesFields, pooledSeriesFields } from "./pooled-series.ts";
export { type PullFields, pullFields } from "./pull.ts";
export {
  type Factor,
  factorFields,
  type LevelValue,
  levelValue,
  type PastPlan,
  pastPlanFields,
  type SeriesFields,
  seriesFields,
} from "./series.ts";
export { type SpecimenFields, specimenFields, type WantedFields, wantedFields } from "./specimen.ts";
export {
  cellPlacements,
  claimBases,
  claimKinds,
  drives,
  failurePlaces,
  hardwareForms,
  outcomeKinds,
} from "./words.ts";
