/**
 * Ropes, spools and recipes: what a specimen is made of and how.
 *
 * @example
 * recipeFields.parse({ name: "30 d loop", kind: "crossed-tail loop", buryFullDiameters: 30, legs: 2 }).wraps // 1
 */
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
  type RopeFields,
  ropeFields,
  type SpoolFields,
  spoolFields,
} from "./rope.ts";
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
