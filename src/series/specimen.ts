import { z } from "zod";
import { lengthMeasures } from "../splice/mod.ts";
import { levelValue } from "./series.ts";

/** What a specimen is to come out as; the cut sheet is worked from it. */
export const wantedFields = z.object({
  lengthMm: z.number().positive().max(1e7),
  measure: z.enum(lengthMeasures).default("inside"),
  /** The force on the whole specimen at which the length is to hold; absent: slack. */
  tensionN: z.number().nonnegative().max(1e9).optional(),
  /** Whether it is to hold once the splice was set and has bedded in; always so at a tension. */
  bedded: z.boolean().default(false),
  nearPinMm: z.number().nonnegative().max(10_000).default(0),
  farPinMm: z.number().nonnegative().max(10_000).default(0),
  /** Inside length of each eye, from crown to throat; absent: by the customary rule. */
  nearEyeMm: z.number().positive().max(1e6).optional(),
  farEyeMm: z.number().positive().max(1e6).optional(),
});
export type WantedFields = z.infer<typeof wantedFields>;

const picks = z.array(z.number().int().min(0).max(1000)).max(24);

/** One made connector: recipe, spool, maker, as-made lengths, and its levels in the plan. */
export const specimenFields = z.object({
  seriesId: z.string(),
  /** What is written on the specimen, unique in its series: "A1". */
  label: z.string().trim().min(1).max(100),
  ropeId: z.string().optional(),
  spoolId: z.string().optional(),
  recipeId: z.string().optional(),
  /** The recipe's version by which it was made: the revision that the recipe had. */
  recipeRevision: z.number().int().min(1).max(1e9).optional(),
  wanted: wantedFields.optional(),
  maker: z.string().trim().max(200).default(""),
  madeOn: z.iso.date().optional(),
  /** Place in the drawn order of pulling, from 1; absent where none was drawn. */
  plannedOrder: z.number().int().min(1).max(1e6).optional(),
  /** Level of each factor of the series, by the factor's name. */
  levels: z.record(z.string(), levelValue).default({}),
  cutLengthMm: z.number().positive().max(1e7).optional(),
  /** Inside length, slack, as spliced; measured as `wanted` says. */
  finishedLengthMm: z.number().positive().max(1e7).optional(),
  /** Inside length under the tension beside it. */
  finishedAtTensionMm: z.number().positive().max(1e7).optional(),
  finishedTensionN: z.number().positive().max(1e9).optional(),
  /** The first bury: the near eye, the first tail. */
  buryFullMm: z.number().nonnegative().max(1e6).optional(),
  buryTaperMm: z.number().nonnegative().max(1e6).optional(),
  /** The second bury: the far eye, the other tail. */
  secondBuryFullMm: z.number().nonnegative().max(1e6).optional(),
  secondBuryTaperMm: z.number().nonnegative().max(1e6).optional(),
  /** Picks between the steps of each taper, from full thickness to the tip. */
  picksPerStep: picks.default([]),
  secondPicksPerStep: picks.default([]),
  makingMinutes: z.number().positive().max(100_000).optional(),
  /** What was taken apart and made again, in words; empty where nothing was. */
  redo: z.string().trim().max(2000).default(""),
  notes: z.string().max(100_000).default(""),
});
export type SpecimenFields = z.infer<typeof specimenFields>;
