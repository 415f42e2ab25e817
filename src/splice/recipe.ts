import { z } from "zod";
import { recipeNumberNames, spliceKinds, spliceVariants, stepFigures } from "./words.ts";

export type SpliceKind = (typeof spliceKinds)[number];
export type SpliceVariant = (typeof spliceVariants)[number];
export type StepFigure = (typeof stepFigures)[number];
export type RecipeNumberName = (typeof recipeNumberNames)[number];

/**
 * One number of a recipe: its value, how far a single splice strays from it (a standard deviation), the range that was
 * seen, and where it comes from. In the unit that `recipeNumberWords` gives.
 */
export const recipeNumberFields = z.object({
  value: z.number().min(0).max(1000),
  spread: z.number().min(0).max(1000).default(0),
  low: z.number().min(0).max(1000).optional(),
  high: z.number().min(0).max(1000).optional(),
  source: z.string().trim().max(500).default(""),
});
export type RecipeNumber = z.infer<typeof recipeNumberFields>;

/** One step of making, in the book's own words, with the drawn figure that shows it. */
export const recipeStepFields = z.object({
  text: z.string().trim().min(1).max(2000),
  figure: z.enum(stepFigures).optional(),
});
export type RecipeStep = z.infer<typeof recipeStepFields>;

/**
 * A splice with its numbers. Bury is counted in nominal rope diameters, full thickness and taper apart, since the
 * trade's two conventions differ by 10 to 20 diameters. The book keeps every version; a specimen points to the one that
 * it was made by.
 */
export const recipeFields = z.object({
  name: z.string().trim().min(1).max(200),
  kind: z.enum(spliceKinds),
  variant: z.enum(spliceVariants).optional(),
  buryFullDiameters: z.number().nonnegative().max(1000).optional(),
  buryTaperDiameters: z.number().nonnegative().max(1000).optional(),
  /** Where the buries come from, and the range that was seen. */
  burySource: z.string().trim().max(500).default(""),
  /** Strands that still stand at the tip of the taper. */
  taperStrandsLeft: z.number().int().min(0).max(48).default(2),
  /** Times that one rope passes through another: at each eye, or in a loop as a whole. */
  crossings: z.number().int().min(0).max(64).default(0),
  /** Strands on each side of a tail that passes through: six and six in a 12-strand rope. */
  strandsEachSide: z.number().int().min(1).max(24).default(6),
  /** The stitching plan in words; empty where nothing is stitched. */
  lockStitch: z.string().trim().max(500).default(""),
  /** Length of rope that the stitching covers, from the throat or the crossing. */
  stitchDiameters: z.number().nonnegative().max(1000).optional(),
  /** The load that sets the splice, as a share of the rated strength of all legs together, and how long it is held. */
  setShare: z.number().positive().max(1).optional(),
  setHoldS: z.number().positive().max(86_400).optional(),
  /** What differs from the customary numbers of this kind of splice, or confirms them. */
  numbers: z.partialRecord(z.enum(recipeNumberNames), recipeNumberFields).default({}),
  steps: z.array(recipeStepFields).max(100).default([]),
  /** Legs that share the load in a straight pull: an eye in a single line 1, a loop 2, a doubled loop 4. */
  legs: z.number().int().min(1).max(64),
  /** Turns of rope side by side: the parts of a grommet. */
  wraps: z.number().int().min(1).max(64).default(1),
  /** The recipe of the program's own that this one began as. */
  basedOn: z.string().trim().max(100).default(""),
  notes: z.string().max(100_000).default(""),
});
export type RecipeFields = z.infer<typeof recipeFields>;
