import { z } from "zod";
import { outcomeFields } from "./outcome.ts";
import { overrideFields } from "./override.ts";

/** One specimen pulled once. The reading is the machine's and lies beside it; these fields are the person's. */
export const pullFields = z.object({
  seriesId: z.string(),
  /** Absent until somebody says which specimen it was. */
  specimenId: z.string().optional(),
  benchId: z.string().optional(),
  /**
   * The recording it was read from and which pull of it, from 1; absent where only a display was read. The number alone
   * is absent where a person named the stretch (an override "pull") or the recording no longer shows the pull.
   */
  recordingSha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .optional(),
  recordingPull: z.number().int().min(1).optional(),
  /** A peak read off a display and typed in; only for pulls without a recording. */
  typedPeakN: z.number().positive().max(1e9).optional(),
  /** Absent until it is judged. */
  outcome: outcomeFields.optional(),
  pulledAt: z.string().max(40).optional(),
  /** Place in the order of pulling, from 1. */
  order: z.number().int().min(1).optional(),
  /** What a person corrected of the reading, in the order of correcting; see `overrideFields`. */
  overrides: z.array(overrideFields).max(200).default([]),
  operator: z.string().trim().max(200).default(""),
  notes: z.string().max(100_000).default(""),
});
export type PullFields = z.infer<typeof pullFields>;
