import { z } from "zod";
import { spliceKinds } from "./words.ts";

export type SpliceKind = (typeof spliceKinds)[number];

/**
 * A splice with its numbers. Bury is counted in nominal rope diameters, full thickness and taper apart, since the
 * trade's two conventions differ by 10 to 20 diameters.
 */
export const recipeFields = z.object({
  name: z.string().trim().min(1).max(200),
  kind: z.enum(spliceKinds),
  buryFullDiameters: z.number().nonnegative().max(1000).optional(),
  buryTaperDiameters: z.number().nonnegative().max(1000).optional(),
  lockStitch: z.string().trim().max(500).default(""),
  /** Legs that share the load in a straight pull: an eye in a single line 1, a loop 2, a doubled loop 4. */
  legs: z.number().int().min(1).max(64),
  wraps: z.number().int().min(1).max(64).default(1),
  notes: z.string().max(100_000).default(""),
});
export type RecipeFields = z.infer<typeof recipeFields>;
