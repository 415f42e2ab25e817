/**
 * Ropes, spools and recipes: what a specimen is made of and how; how long to cut it, where to mark it, and what it was
 * made as.
 *
 * @example
 * const cut = cutLength(
 *   { rope: { nominalDiameterMm: 6, construction: "12-strand braid" }, recipe: builtInRecipe("crossed-tail-loop"), state: { measure: "inside" } },
 *   600,
 * );
 * cut.ok && cut.value.cutLengthMm // 1746.55
 */
export {
  buriesAsMade,
  governingBury,
  type MeasuredSplice,
  madeToleranceDiameters,
  type OutOfRecipe,
  outOfRecipe,
} from "./as-made.ts";
export { type BuiltInRecipeId, builtInRecipeIds } from "./built-in-ids.ts";
export {
  type BuiltInRecipe,
  builtInRecipe,
  builtInRecipes,
} from "./built-in-recipes.ts";
export { type ComparedRecipe, type ComparedSpecimen, compareRecipes } from "./compare-recipes.ts";
export { customaryNumber, eyeDiameters, eyePins, fidDiameters } from "./customary.ts";
export { type CutLength, cutLength, finishedLength, type LengthTerm, lengthTermNames } from "./cut-length.ts";
export { type CutBatch, type CutSheet, planCutSheet, type SheetSpecimen } from "./cut-sheet.ts";
export {
  asRecipeNumber,
  enoughGroups,
  enoughSpecimens,
  type GroupedObservation,
  type LearnedNumber,
  learnNumber,
} from "./learn.ts";
export { crossingsWithin, learnCrossing } from "./learn-crossing.ts";
export { type Mark, type MarkedCut, type MarkedEnd, type MarkKind, markKinds, markRope } from "./marks.ts";
export {
  type CutWanted,
  cannotNest,
  exactLimit,
  type NestedSpool,
  type Nesting,
  type NestingProgram,
  type NestOptions,
  nestByBestFit,
  nestingProgram,
  notProven,
  type SpoolAtHand,
} from "./nest-cuts.ts";
export {
  type CrossedObservation,
  type LearnedName,
  learnedNames,
  type MadeSplice,
  type Observation,
  observeCrossings,
  observeSplice,
} from "./observe.ts";
export {
  type RecipeFields,
  type RecipeNumber,
  type RecipeNumberName,
  type RecipeStep,
  recipeFields,
  recipeNumberFields,
  recipeStepFields,
  type SpliceKind,
  type SpliceVariant,
  type StepFigure,
} from "./recipe.ts";
export {
  type Bury,
  type FinishedState,
  type JobRecipe,
  type JobRope,
  type SpliceJob,
  strandsOf,
} from "./resolve-job.ts";
export {
  type RopeFields,
  ropeFields,
  type SpoolFields,
  spoolFields,
} from "./rope.ts";
export { type SpliceShape, shapeOf } from "./shapes.ts";
export { restOfSpool, type SpoolRest } from "./spool-rest.ts";
export { planTaper, type Taper, type TaperStep, type TaperStretch } from "./taper.ts";
export { readForceN, readLengthMm } from "./typed-quantity.ts";
export {
  lengthMeasures,
  recipeNumberNames,
  recipeNumberWords,
  spliceKinds,
  spliceVariants,
  stepFigures,
  strengthBases,
  strengthEnds,
} from "./words.ts";
