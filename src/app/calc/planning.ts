import { z } from "zod";
import { buryPlan, growths } from "../../findings/mod.ts";
import { power, sampleSize } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { alpha, confidence, content, list } from "./fields.ts";

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

const inDiameters = z.number().exactOptional().describe("In diameters; absent where it has no end.");
const spread = z
  .object({ low: inDiameters, median: inDiameters, high: inDiameters })
  .describe("80 of 100 series lie between low and high.");

/** How many specimens a question needs, and at which levels. */
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
  defineCalculation({
    name: "bury-plan",
    version: "1",
    long: true,
    answers: "What would pulls at these buries tell, if slipping and breaking were as assumed?",
    formula:
      "Series drawn from the assumed truth, each judged as slip-or-break does with 200 refits; the true bury: where the median slip strength is the plateau times exp(z √(s₁² + s₂²))",
    source: "Simulation; docs/methods/slip-or-break.md for the fit",
    input: z.object({
      levels: z.array(z.number()).max(8).describe("Buries to pull at, in rope diameters."),
      pullsPerLevel: z.number().int().min(1).max(20),
      truth: z.object({
        growth: z.enum(growths),
        plateau: z.number().describe("The median break strength, in any one unit."),
        turn: z.number().describe("The bury at which as many slip as break, in diameters."),
        slipBury: z.number().describe("A shorter bury, in diameters."),
        slipStrength: z.number().describe("The median slip strength there."),
        slipScatter: z.number().describe("Standard deviation of its logarithm."),
        breakScatter: z.number().describe("Likewise of the break strength."),
      }),
      chance: z.number().default(0.05).describe("How unlikely slipping first is to be, such as 0.05."),
      confidence: z.number().default(0.95).describe("Of the bury to state."),
      series: z.number().int().min(1).max(50).default(20),
      seed: z.number().int().min(0).max(4_294_967_295).default(1),
    }),
    output: z.object({
      levels: list(z.number()),
      pullsPerLevel: z.number(),
      pulls: z.number(),
      trueBury: z.number().describe("In the assumed world, in diameters."),
      series: z.number(),
      beyond: spread.describe("The bury to state less the true one."),
      estimateOff: spread.describe("The plain estimate less the true one."),
      nothing: z.number().describe("Share of series that could state nothing."),
      tooShort: z.number().describe("Share whose bury to state was shorter than the true one."),
    }),
    example: {
      levels: [24, 34, 44],
      pullsPerLevel: 4,
      truth: {
        growth: "exponential",
        plateau: 0.9,
        turn: 34,
        slipBury: 20,
        slipStrength: 0.6,
        slipScatter: 0.08,
        breakScatter: 0.08,
      },
      series: 1,
    },
    run: buryPlan,
  }),
];
