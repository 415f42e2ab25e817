import { z } from "zod";
import { equalSpread, normality, outliers, samePopulation } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { alpha, groups, list, tested, values } from "./fields.ts";

/** What speaks against treating values as a method treats them. */
export const checkCalculations = [
  defineCalculation({
    name: "outliers",
    version: "1",
    answers:
      "Which values lie farther out than a normal population would put them? They are named, never removed.",
    formula:
      "max |x − mean| / sd against (n − 1) / √n · √(t² / (n − 2 + t²)), t at 1 − α / (2n); repeated for atMost above 1",
    source:
      "F. E. Grubbs, Technometrics 11 (1969), 1-21; B. Rosner, Technometrics 25 (1983), 165-172; NIST/SEMATECH e-Handbook 1.3.5.17",
    input: z.object({
      values,
      alpha: alpha.exactOptional(),
      sides: z.enum(["two", "low", "high"]).exactOptional(),
      atMost: z.number().exactOptional().describe("How many values may be suspected at most; 1 unless said."),
    }),
    output: z.object({
      statistic: z.number(),
      critical: z.number(),
      suspects: list(z.number()).describe("Positions in the list given, from 0, the farthest first."),
      steps: list(z.object({ index: z.number(), statistic: z.number(), critical: z.number() })),
    }),
    example: { values: [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57] },
    run: outliers,
  }),
  defineCalculation({
    name: "normality",
    version: "1",
    answers: "Do the values look as if drawn from a normal population?",
    formula:
      "Shapiro and Wilk's W by Royston's approximation; Anderson and Darling's A² with estimated mean and sd",
    source:
      "P. Royston, Algorithm AS R94, Applied Statistics 44 (1995), 547-551; M. A. Stephens in D'Agostino and Stephens, Goodness-of-Fit Techniques (1986), table 4.9",
    input: z.object({ values }),
    output: z.object({
      n: z.number(),
      shapiroWilk: tested.exactOptional(),
      andersonDarling: tested.exactOptional(),
    }),
    example: { values: [148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236] },
    run: normality,
  }),
  defineCalculation({
    name: "equal-spread",
    version: "2",
    long: true,
    answers: "Do the groups scatter alike?",
    formula: "One-way F of |x − median of its group|",
    source:
      "M. B. Brown and A. B. Forsythe, J. Amer. Statist. Assoc. 69 (1974), 364-367; NIST/SEMATECH e-Handbook 1.3.5.10, and 1.3.5.7 for Bartlett's statistic",
    input: z.object({ groups }),
    output: z.object({
      statistic: z.number(),
      df1: z.number(),
      df2: z.number(),
      p: z.number(),
      bartlett: z.object({ statistic: z.number(), df: z.number(), p: z.number() }).exactOptional(),
    }),
    example: {
      groups: [
        [4.1, 5.6, 5.2],
        [4.8, 4.2, 4.4],
        [6.3, 5.1, 5.5],
      ],
    },
    run: equalSpread,
  }),
  defineCalculation({
    name: "same-population",
    version: "1",
    long: true,
    answers: "May the groups be treated as one population, before they are pooled?",
    formula: "k-sample Anderson-Darling statistic; p from random regroupings of the values by a seed",
    source:
      "F. W. Scholz and M. A. Stephens, K-sample Anderson-Darling tests, J. Amer. Statist. Assoc. 82 (1987), 918-924",
    input: z.object({
      groups,
      resamples: z.number().int().min(199).max(1_000_000).exactOptional(),
      seed: z.number().int().min(0).max(4_294_967_295).exactOptional(),
    }),
    output: z.object({
      statistic: z.number(),
      statisticMidrank: z.number(),
      normalised: z.number(),
      normalisedMidrank: z.number(),
      p: z.number(),
      resamples: z.number(),
      seed: z.number(),
      quantiles: list(z.object({ alpha: z.number(), value: z.number() })),
    }),
    example: {
      groups: [
        [38.7, 41.5, 43.8],
        [39.2, 39.3, 39.7],
        [34, 35, 39],
      ],
    },
    run: samePopulation,
  }),
];
