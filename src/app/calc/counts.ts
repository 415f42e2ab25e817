import { z } from "zod";
import { exactTable, proportion, survivalCurve } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { censored, confidence, interval, list, values } from "./fields.ts";

/** Counts and shares: where pulls broke, how often, and what share holds how much. */
export const countCalculations = [
  defineCalculation({
    name: "proportion",
    version: "1",
    answers: "How often does something happen, when it happened so often in n tries?",
    formula:
      "(p̂ + z² / 2n ± z √(p̂ (1 − p̂) / n + z² / 4n²)) / (1 + z² / n); exact limits by the beta quantiles",
    source:
      "E. B. Wilson, J. Amer. Statist. Assoc. 22 (1927), 209-212; C. J. Clopper and E. S. Pearson, Biometrika 26 (1934), 404-413; R. G. Newcombe, Statist. Med. 17 (1998), 857-872",
    input: z.object({ successes: z.number(), n: z.number(), confidence: confidence.exactOptional() }),
    output: z.object({ estimate: z.number(), interval, exactInterval: interval }),
    example: { successes: 1, n: 10 },
    run: proportion,
  }),
  defineCalculation({
    name: "exact-table",
    version: "1",
    answers: "Do the shares of kinds differ between groups, such as where pulls broke by recipe?",
    formula: "The share of all tables with these sums that are at most as probable as the one observed",
    source:
      "R. A. Fisher, The Design of Experiments (1935); G. H. Freeman and J. H. Halton, Biometrika 38 (1951), 141-149; A. Agresti, Categorical Data Analysis (1990), 3.5",
    input: z.object({
      table: z.array(z.array(z.number()).max(50)).max(50).describe("Counts, row by row."),
      confidence: confidence.exactOptional(),
      resamples: z.number().int().min(199).max(1_000_000).exactOptional(),
      seed: z.number().int().min(0).max(4_294_967_295).exactOptional(),
    }),
    output: z.object({
      p: z.number(),
      exact: z.boolean(),
      tables: z.number(),
      twoByTwo: z
        .object({
          pGreater: z.number(),
          pLess: z.number(),
          oddsRatio: z.number().exactOptional(),
          oddsInterval: z.object({ low: z.number(), high: z.number().exactOptional() }),
        })
        .exactOptional(),
    }),
    example: {
      table: [
        [3, 1],
        [1, 3],
      ],
    },
    run: exactTable,
  }),
  defineCalculation({
    name: "survival-curve",
    version: "2",
    answers: "What share of specimens holds how much, with those counted that were stopped?",
    formula: "Π (1 − failed / at risk); standard error: survival · √Σ failed / (at risk (at risk − failed))",
    source: "E. L. Kaplan and P. Meier, J. Amer. Statist. Assoc. 53 (1958), 457-481; M. Greenwood (1926)",
    input: z.object({ values, censored: censored.exactOptional() }),
    output: z.object({
      n: z.number(),
      censoredCount: z.number(),
      steps: list(
        z.object({
          value: z.number(),
          survival: z.number(),
          standardError: z.number().exactOptional(),
          atRisk: z.number(),
          failed: z.number(),
        }),
      ),
      median: z.number().exactOptional(),
    }),
    example: { values: [43, 45, 50], censored: [false, true, false] },
    run: survivalCurve,
  }),
];
