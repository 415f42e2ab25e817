import { z } from "zod";
import { curveNames, nonlinearFit } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { confidence, interval, maxValues } from "./fields.ts";

const named = z.record(z.string(), z.number()).readonly();

/** How a reading changes along a time or a length, where the change is no straight line. */
export const curveCalculations = [
  defineCalculation({
    name: "nonlinear-fit",
    version: "1",
    long: true,
    answers:
      "Which curve of a named kind comes closest to values taken at places or times: settling, creep, relaxing?",
    formula:
      "Least squares. log-time: atOne + perDecade · log10(x). power: factor · x^exponent. exponential-approach: end + (begin − end) · exp(−x / time).",
    source:
      "J. J. Moré, Lecture Notes in Mathematics 630 (1978), 105-116; D. M. Bates and D. G. Watts, Nonlinear Regression Analysis and Its Applications (1988), chapter 2",
    input: z.object({
      model: z.enum(curveNames),
      x: z.array(z.number()).max(maxValues).describe("Places or times, all in one unit."),
      y: z.array(z.number()).max(maxValues).describe("The value at each, all in one unit."),
      confidence: confidence.exactOptional(),
      at: z.number().exactOptional().describe("Where the curve is to be foretold."),
    }),
    output: z.object({
      n: z.number(),
      model: z.enum(curveNames),
      coefficients: named,
      standardErrors: named,
      intervals: z.record(z.string(), interval).readonly(),
      df: z.number(),
      residualSd: z.number(),
      residualSumOfSquares: z.number(),
      prediction: z
        .object({ value: z.number(), standardError: z.number(), interval, valueInterval: interval })
        .exactOptional(),
    }),
    example: { model: "log-time", x: [1, 10, 100, 1000], y: [2, 2.5, 2.7, 3.2], at: 10000 },
    run: nonlinearFit,
  }),
];
