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
  /** Length of one pick as it was measured along the rope: the way from one crossing of a strand to the next. */
  pickLengthMm: z.number().positive().max(1000).optional(),
  /** Force over strain of the bedded rope (EA): the force that would stretch it to twice its length. */
  stiffnessN: z.number().positive().max(1e12).optional(),
  /** Standard uncertainty of the stiffness. */
  stiffnessSpreadN: z.number().nonnegative().max(1e12).optional(),
  notes: z.string().max(100_000).default(""),
});
export type RopeFields = z.infer<typeof ropeFields>;

/** A length of one rope from one batch. */
export const spoolFields = z.object({
  ropeId: z.string(),
  name: z.string().trim().min(1).max(200),
  batch: z.string().trim().max(200).default(""),
  lengthM: z.number().positive().max(1e6).optional(),
  /** Taken from the spool for anything that is no specimen of the book. */
  otherUseM: z.number().nonnegative().max(1e6).default(0),
  pricePerM: z.number().nonnegative().max(1e6).optional(),
  currency: z.string().trim().max(20).default(""),
  boughtOn: z.iso.date().optional(),
  notes: z.string().max(100_000).default(""),
});
export type SpoolFields = z.infer<typeof spoolFields>;
