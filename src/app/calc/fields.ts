import { z } from "zod";

/** More values than any bench gives, few enough to be read and worked through in a moment. */
export const maxValues = 1_000_000;

export const values = z.array(z.number()).max(maxValues).describe("The values, all in one unit.");
export const censored = z
  .array(z.boolean())
  .max(maxValues)
  .describe("True where the value is a lower bound: stopped, clipped, hardware failed first.");
export const content = z.number().describe("The share of the population above the bound, such as 0.95.");
export const confidence = z.number().describe("The confidence, such as 0.95.");

/** A doubt that rides along with a result. */
export const warnings = z.array(
  z.object({
    code: z.string(),
    message: z.string(),
    where: z
      .object({
        file: z.string().exactOptional(),
        line: z.number().exactOptional(),
        column: z.string().exactOptional(),
        row: z.number().exactOptional(),
        field: z.string().exactOptional(),
        text: z.string().exactOptional(),
      })
      .exactOptional(),
    found: z.string().exactOptional(),
    expected: z.string().exactOptional(),
    wayOut: z.string().exactOptional(),
  }),
);
