/**
 * Ropes, spools and recipes: what a specimen is made of and how.
 *
 * @example
 * recipeFields.parse({ name: "30 d loop", kind: "crossed-tail loop", buryFullDiameters: 30, legs: 2 }).wraps // 1
 */
export { type RecipeFields, recipeFields, type SpliceKind } from "./recipe.ts";
export {
  type RopeFields,
  ropeFields,
  type SpoolFields,
  spoolFields,
} from "./rope.ts";
export { spliceKinds, strengthBases, strengthEnds } from "./words.ts";
