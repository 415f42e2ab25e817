import { z } from "zod";
import { lowerBound, lowerBoundMethods, toleranceFactor } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { censored, confidence, content, values, warnings } from "./fields.ts";

/** What strength may be claimed from a handful of pulls. */
export const boundCalculations = [
  defineCalculation({
    name: "tolerance-factor",
    version: "1",
    answers:
      "How many standard deviations below the mean of n values must a bound lie, so that at least a given share of a normal population lies above it with a given confidence?",
    formula:
      "One side: t(confidence; n − 1, z(content) √n) / √n, a quantile of the non-central t. Two sides: the exact integral.",
    source:
      "R. E. Odeh and D. B. Owen, Tables for Normal Tolerance Limits, Sampling Plans, and Screening (1980); ISO 16269-6:2014",
    input: z.object({
      n: z.number().describe("How many values, 2 to 1,000,000."),
      content,
      confidence,
      sides: z.enum(["one", "two"]).default("one"),
    }),
    output: z.object({ factor: z.number() }),
    example: { n: 10, content: 0.95, confidence: 0.95 },
    run: toleranceFactor,
  }),
  defineCalculation({
    name: "lower-bound",
    version: "2",
    answers: "Above which value does, by a named method, at least a given share of the population lie?",
    formula:
      "lowest: min x. mean-3sd: mean − 3 sd. normal: mean − k sd with k of tolerance-factor; lognormal: the same of ln x. weibull: conditional on the pulls' shape. distribution-free: an order statistic. hanson-koopmans: x(j) − z (x(j) − x(1)).",
    source:
      "ISO 16269-6:2014; CMH-17-1G chapter 8; the references of each method in docs/methods/lower-bound.md",
    input: z.object({
      values,
      censored: censored.exactOptional(),
      method: z.enum(lowerBoundMethods),
      content: content.default(0.95),
      confidence: confidence.default(0.95),
      upperOrder: z
        .number()
        .exactOptional()
        .describe("hanson-koopmans: the order of the upper value; n unless said."),
      form: z
        .enum(["arithmetic", "ratio"])
        .exactOptional()
        .describe("hanson-koopmans: on the values, or on their logarithms."),
    }),
    output: z.object({
      bound: z.number(),
      method: z.enum(lowerBoundMethods),
      n: z.number(),
      censoredCount: z.number(),
      meaning: z.string(),
      content: z.number(),
      confidence: z.number(),
      warnings,
      order: z.number().exactOptional(),
      factor: z.number().exactOptional(),
      mean: z.number().exactOptional(),
      sd: z.number().exactOptional(),
    }),
    example: { values: [50.27, 52.56, 54.72, 57.06, 53.2, 56.07], method: "normal", content: 0.9 },
    run: lowerBound,
  }),
];
