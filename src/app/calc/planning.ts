import { z } from "zod";
import { power, sampleSize } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { alpha, confidence, content } from "./fields.ts";

const sd = z.number().describe("The standard deviation to be expected, in the unit of the means.");
const two = {
  kind: z.literal("two"),
  difference: z.number().describe("The true difference of the two means."),
  sd,
  alpha: alpha.exactOptional(),
};
const many = {
  kind: z.literal("many"),
  means: z.array(z.number()).max(1000).describe("The true mean of each group."),
  sd,
  alpha: alpha.exactOptional(),
};
const bound = {
  kind: z.literal("bound"),
  mean: z.number(),
  sd,
  target: z.number().describe("What the lower bound is to clear."),
  content,
  confidence,
};
const formula =
  "two: P(T > t(1 − α/2; 2n − 2)), T non-central with shift |difference| / sd · √(n/2). many: the upper tail of the non-central F. bound: P(T ≥ k √n) with shift √n (mean − target) / sd, k of tolerance-factor";
const source =
  "J. Cohen, Statistical Power Analysis for the Behavioral Sciences (1988), chapters 2 and 8; for the bound by algebra";

/** How many specimens a question needs. */
export const planningCalculations = [
  defineCalculation({
    name: "power",
    version: "1",
    answers: "With what chance do n values (per group) show what is to be shown?",
    formula,
    source,
    input: z.discriminatedUnion("kind", [
      z.object({ ...two, n: z.number() }),
      z.object({ ...many, n: z.number() }),
      z.object({ ...bound, n: z.number() }),
    ]),
    output: z.object({ power: z.number() }),
    example: { kind: "two", n: 5, difference: 3, sd: 2 },
    run: power,
  }),
  defineCalculation({
    name: "sample-size",
    version: "1",
    answers: "How many values (per group) are needed to show it with a given chance?",
    formula: `The least n whose power reaches the chance. ${formula}`,
    source,
    input: z.discriminatedUnion("kind", [
      z.object({ ...two, power: z.number() }),
      z.object({ ...many, power: z.number() }),
      z.object({ ...bound, power: z.number() }),
    ]),
    output: z.object({ n: z.number(), power: z.number() }),
    example: { kind: "two", difference: 3, sd: 2, power: 0.8 },
    run: sampleSize,
  }),
];
