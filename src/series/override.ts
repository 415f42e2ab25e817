import { z } from "zod";

const row = z
  .number()
  .int()
  .min(1)
  .max(2 ** 31 - 1);
const force = z.number().min(-1e9).max(1e9);
const seconds = z.number().min(-1e12).max(1e12);
/** Who changed it, when, and why; the program knows no accounts, so the name is what the person gives. */
const made = {
  by: z.string().trim().max(200).default(""),
  at: z.string().max(40),
  why: z.string().trim().max(1000).default(""),
};

/**
 * One correction of a reading by a person. It is kept beside the machine's reading and never over it. Rows count from 1;
 * times and forces (net of the rest, where there is one) were read from the samples when the correction was made.
 */
export const overrideFields = z.discriminatedUnion("what", [
  /** The boundary at which `phase` starts or ends was read at `fromRow` and lies at `toRow`. */
  z.object({
    what: z.literal("boundary"),
    phase: z.string().max(20),
    edge: z.enum(["start", "end"]),
    fromRow: row,
    toRow: row,
    toS: seconds.optional(),
    forceN: force.optional(),
    ...made,
  }),
  /** What was read as a slip at `fromRow` is none. */
  z.object({ what: z.literal("strike slip"), fromRow: row, ...made }),
  /** A slip that was not read: from its highest sample to its lowest. */
  z.object({
    what: z.literal("add slip"),
    fromRow: row,
    toRow: row,
    fromS: seconds.optional(),
    fromN: force,
    toN: force,
    ...made,
  }),
  /** What was read as a pull is none: a set-up tug, handling. */
  z.object({ what: z.literal("other load"), ...made }),
  /** These rows, which were not read as a pull, are one. */
  z.object({ what: z.literal("pull"), fromRow: row, toRow: row, ...made }),
]);
export type Override = z.infer<typeof overrideFields>;
