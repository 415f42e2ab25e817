import { z } from "zod";
import { strengthBases, strengthEnds } from "../splice/mod.ts";
import { levelValue } from "./series.ts";
import { claimBases } from "./words.ts";

/**
 * Another series that is pooled with this one: one of the book, or mean, SD and n as somebody published them, with what they
 * are shares of.
 */
export const pooledSeriesFields = z.object({
  seriesId: z.string(),
  /** Who pulled it, in a few words; it names the row of the figure. */
  name: z.string().trim().min(1).max(200),
  /** A series of the book; its own pulls count, and the figures below stay empty. */
  otherSeriesId: z.string().optional(),
  /** The levels of the other series' factors that are meant. */
  otherLevels: z.record(z.string(), levelValue).default({}),
  source: z.string().trim().max(2000).default(""),
  n: z.number().int().min(2).max(100_000).optional(),
  basis: z.enum(claimBases).default("rated, all legs"),
  /** As fractions of the basis; absent where the basis is a force. */
  meanShare: z.number().positive().max(100).optional(),
  sdShare: z.number().positive().max(100).optional(),
  meanN: z.number().positive().max(1e9).optional(),
  sdN: z.number().positive().max(1e9).optional(),
  legs: z.number().int().min(1).max(64).optional(),
  ratedStrengthN: z.number().positive().max(1e9).optional(),
  ratedStrengthBasis: z.enum(strengthBases).default("not stated"),
  ratedStrengthEnds: z.enum(strengthEnds).default("not stated"),
  /** What the source measured of one line of that rope. */
  measuredLineN: z.number().positive().max(1e9).optional(),
  construction: z.string().trim().max(200).default("12-strand braid"),
  /** The levels of this series' factors with which it is pooled. */
  levels: z.record(z.string(), levelValue).default({}),
  notes: z.string().max(100_000).default(""),
});
export type PooledSeriesFields = z.infer<typeof pooledSeriesFields>;
