import { z } from "zod";
import { encodings, type Layout, separators, timeFormats } from "../trace/mod.ts";
import { forceUnits, lengthUnits } from "../units/mod.ts";

const column = z.number().int().min(1).max(1024);

/** The schema of a `Layout` as it comes over HTTP or out of the book. */
export const layoutFields = z.object({
  encoding: z.enum(encodings),
  separator: z.enum(separators),
  decimal: z.enum([".", ","]),
  preambleLines: z.number().int().min(0).max(1_000_000),
  headerRow: z.boolean(),
  unitRow: z.boolean(),
  columnNames: z.array(z.string().max(1000)).max(1024),
  time: z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("column"), column, format: z.enum(timeFormats) }),
    z.object({ kind: z.literal("rate"), hz: z.number().positive().max(1e8) }),
    z.object({ kind: z.literal("none") }),
  ]),
  force: z.object({ column, unit: z.enum(forceUnits), inverted: z.boolean().exactOptional() }),
  displacement: z.object({ column, unit: z.enum(lengthUnits) }).exactOptional(),
  segment: z.object({ column }).exactOptional(),
}) satisfies z.ZodType<Layout>;
