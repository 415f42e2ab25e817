import { z } from "zod";
import { levelValue } from "./series.ts";

/** One made connector: recipe, spool, maker, as-made lengths, and its levels in the plan. */
export const specimenFields = z.object({
  seriesId: z.string(),
  /** What is written on the specimen, unique in its series: "A1". */
  label: z.string().trim().min(1).max(100),
  ropeId: z.string().optional(),
  spoolId: z.string().optional(),
  recipeId: z.string().optional(),
  maker: z.string().trim().max(200).default(""),
  madeOn: z.iso.date().optional(),
  /** Level of each factor of the series, by the factor's name. */
  levels: z.record(z.string(), levelValue).default({}),
  cutLengthMm: z.number().positive().max(1e7).optional(),
  finishedLengthMm: z.number().positive().max(1e7).optional(),
  buryFullMm: z.number().nonnegative().max(1e6).optional(),
  buryTaperMm: z.number().nonnegative().max(1e6).optional(),
  notes: z.string().max(100_000).default(""),
});
export type SpecimenFields = z.infer<typeof specimenFields>;
