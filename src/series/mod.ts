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
  cellPlacements,
  drives,
  type HardwareFields,
  hardwareFields,
  hardwareForms,
  type LoadCellFields,
  loadCellFields,
} from "./bench.ts";
export { failurePlaces, type Outcome, type OutcomeKind, outcomeFields, outcomeKinds } from "./outcome.ts";
export { type PullFields, pullFields } from "./pull.ts";
export {
  type Factor,
  factorFields,
  type LevelValue,
  levelValue,
  type SeriesFields,
  seriesFields,
} from "./series.ts";
export { type SpecimenFields, specimenFields } from "./specimen.ts";
