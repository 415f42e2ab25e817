import { z } from "zod";
import { strengthBases, strengthEnds } from "./words.ts";

/** A rope as its maker describes it: construction, fibre, nominal diameter, mass per length, rated strength. */
export const ropeFields = z.object({
  name: z.string().trim().min(1).max(200),
  construction: z.string().trim().max(200).default("12-strand braid"),
  fibre: z.string().trim().max(100).default("HMPE"),
  nominalDiameterMm: z.number().positive().max(500),
  massPerLengthGPerM: z.number().positive().max(100_000).optional(),
  /** The single-line breaking strength published for the rope, with its basis and source. */
  ratedStrengthN: z.number().positive().max(1e9).optional(),
  ratedStrengthBasis: z.enum(strengthBases).default("not stated"),
  ratedStrengthEnds: z.enum(strengthEnds).default("not stated"),
  ratedStrengthSource: z.string().trim().max(2000).default(""),
  coating: z.string().trim().max(200).default(""),
  notes: z.string().max(100_000).default(""),
});
export type RopeFields = z.infer<typeof ropeFields>;

/** A length of one rope from one batch. */
export const spoolFields = z.object({
  ropeId: z.string(),
  name: z.string().trim().min(1).max(200),
  batch: z.string().trim().max(200).default(""),
  lengthM: z.number().positive().max(1e6).optional(),
  boughtOn: z.iso.date().optional(),
  notes: z.string().max(100_000).default(""),
});
export type SpoolFields = z.infer<typeof spoolFields>;
