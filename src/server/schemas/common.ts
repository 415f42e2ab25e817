import { z } from "zod";
import { type Problem, type ProblemCode, problemCodes } from "../../problem/mod.ts";

const whereSchema = z.object({
  file: z.string().exactOptional(),
  line: z.int().exactOptional(),
  column: z.string().exactOptional(),
  row: z.int().exactOptional(),
  field: z.string().exactOptional(),
  text: z.string().exactOptional(),
});

export const problemSchema = z
  .object({
    code: z.enum(Object.keys(problemCodes) as ProblemCode[]),
    message: z.string(),
    where: whereSchema.exactOptional(),
    found: z.string().exactOptional(),
    expected: z.string().exactOptional(),
    wayOut: z.string().exactOptional(),
  })
  .meta({
    id: "Problem",
    description: "What could not be done: what was found, where, what is wanted, and the way out.",
  }) satisfies z.ZodType<Problem>;

/** The one shape of every failure. */
export const problemsSchema = z
  .object({ problems: z.array(problemSchema).min(1) })
  .meta({ id: "Problems", description: "Every failure of every address looks like this." });

/** What every success looks like. */
export function envelopeOf<T extends z.ZodType>(value: T) {
  return z.object({
    value,
    warnings: z.array(problemSchema).meta({ description: "Doubts that ride along with the value." }),
  });
}

/** A statistic inside an answer: a value with its doubts, or the reasons why there is none. */
export function resultOf<T extends z.ZodType>(value: T) {
  return z.discriminatedUnion("ok", [
    z.object({ ok: z.literal(true), value, warnings: z.array(problemSchema) }),
    z.object({ ok: z.literal(false), problems: z.array(problemSchema) }),
  ]);
}

/** The failures that a route can answer with, for its documentation. */
export const failures = { "4xx": problemsSchema, "5xx": problemsSchema };

export const idSchema = z.string().min(1).max(100);
export const idParams = z.object({ id: idSchema });
export const sha256Params = z.object({
  sha256: z.string().regex(/^[0-9a-f]{64}$/, "This is not the SHA-256 of a recording: 64 digits 0-9, a-f."),
});
