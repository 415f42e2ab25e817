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

/** Groups of values, such as the strengths of each batch. */
export const groups = z
  .array(z.array(z.number()).max(maxValues))
  .max(1000)
  .describe("The values of each group, all in one unit.");
export const alpha = z.number().describe("The chance of a false alarm, such as 0.05.");

/** A statistic of a test with its p. */
export const tested = z.object({ statistic: z.number(), p: z.number() });
export const interval = z.tuple([z.number(), z.number()]).readonly();
export const list = <Item extends z.ZodType>(item: Item) => z.array(item).readonly();

/** Doubts that ride along with a result. */
export const warnings = list(
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
