import { z } from "zod";
import { levelValue } from "./series.ts";
import { claimBases, claimKinds } from "./words.ts";

const share = z.number().positive().max(100);
const force = z.number().positive().max(1e9);

/** A published figure that is set against the pulls of a series, with what it is a share of and where it stands. */
export const claimFields = z.object({
  seriesId: z.string(),
  /** What is claimed, in a few words. */
  statement: z.string().trim().min(1).max(300),
  source: z.string().trim().min(1).max(2000),
  /** A mean, or a value that nearly all exceed. */
  kind: z.enum(claimKinds).default("mean"),
  basis: z.enum(claimBases),
  /** As a fraction of its basis; absent where the basis is a force. */
  share: share.optional(),
  /** The claimed force itself, where that is the basis. */
  valueN: force.optional(),
  /** Legs of the connector that the claim is about. */
  legs: z.number().int().min(1).max(64).optional(),
  /** What the source measured of one line of that rope; needed where the claim is a share of it. */
  measuredLineN: force.optional(),
  /** The levels of the series' factors that the claim is about; the other factors may stand as they will. */
  levels: z.record(z.string(), levelValue).default({}),
  /** How far off a mean still counts as the same, as a fraction of the figure. */
  margin: z.number().positive().max(0.5).default(0.05),
  /** The share of specimens that exceed a least value. */
  content: z.number().min(0.5).max(0.999).default(0.95),
  notes: z.string().max(100_000).default(""),
});
export type ClaimFields = z.infer<typeof claimFields>;
