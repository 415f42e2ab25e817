import { z } from "zod";
import { compareMany, compareTwo } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { confidence, groups, interval, list, values } from "./fields.ts";

const welch = z.object({
  difference: z.number(),
  interval,
  t: z.number(),
  df: z.number(),
  p: z.number(),
});
const pairs = list(
  z.object({
    i: z.number(),
    j: z.number(),
    difference: z.number(),
    lower: z.number(),
    upper: z.number(),
    p: z.number(),
  }),
);

/** Whether groups differ, and by how much. */
export const compareCalculations = [
  defineCalculation({
    name: "compare-two",
    version: "3",
    long: true,
    answers: "Do two groups differ, by how much, and could so few values show it?",
    formula:
      "Welch's t with its interval; the share of all splits whose means lie at least as far apart; Mann and Whitney's u with midranks, counted out; Hedges' g with the interval of the non-central t",
    source:
      "B. L. Welch, Biometrika 34 (1947), 28-35; E. S. Edgington, Randomization Tests (1995); H. B. Mann and D. R. Whitney, Ann. Math. Statist. 18 (1947), 50-60; L. V. Hedges, J. Educ. Statist. 6 (1981), 107-128",
    input: z.object({
      a: values,
      b: values,
      confidence: confidence.exactOptional(),
      paired: z.boolean().exactOptional().describe("True where a[i] and b[i] belong together."),
      resamples: z
        .number()
        .int()
        .min(199)
        .max(1_000_000)
        .exactOptional()
        .describe("Random splits to look at where there are too many to look at all."),
      seed: z.number().int().min(0).max(4_294_967_295).exactOptional(),
    }),
    output: z.object({
      meanA: z.number(),
      meanB: z.number(),
      welch: welch.exactOptional(),
      pooled: welch.exactOptional(),
      paired: welch.exactOptional(),
      permutation: z.object({ p: z.number(), exact: z.boolean(), splits: z.number() }),
      mannWhitney: z.object({
        u: z.number(),
        p: z.number(),
        pGreater: z.number(),
        pLess: z.number(),
        exact: z.boolean(),
      }),
      effect: z.object({ standardised: z.number(), interval, chanceALarger: z.number() }).exactOptional(),
      canShow: z.object({
        smallestP: z.number(),
        detectable: z.number().exactOptional(),
        sentence: z.string(),
      }),
    }),
    example: { a: [49, 47, 49, 51, 51], b: [55, 54, 55, 50, 54] },
    run: compareTwo,
  }),
  defineCalculation({
    name: "compare-many",
    version: "1",
    long: true,
    answers: "Do several groups differ, which of them, and how much of the scatter lies between them?",
    formula:
      "One-way F; Welch's F for unequal spreads; Kruskal and Wallis's H corrected for ties; Tukey-Kramer and Games-Howell intervals by the studentized range",
    source:
      "B. L. Welch, Biometrika 38 (1951), 330-336; W. H. Kruskal and W. A. Wallis, J. Amer. Statist. Assoc. 47 (1952), 583-621; C. Y. Kramer, Biometrics 12 (1956), 307-310; P. A. Games and J. F. Howell, J. Educ. Statist. 1 (1976), 113-125; J. H. Steiger, Psychol. Methods 9 (2004), 164-182",
    input: z.object({ groups, confidence: confidence.exactOptional() }),
    output: z.object({
      means: list(z.number()),
      anova: z.object({
        f: z.number(),
        p: z.number(),
        dfBetween: z.number(),
        dfWithin: z.number(),
        ssBetween: z.number(),
        ssWithin: z.number(),
        msBetween: z.number(),
        msWithin: z.number(),
      }),
      welchAnova: z
        .object({ f: z.number(), df1: z.number(), df2: z.number(), p: z.number() })
        .exactOptional(),
      kruskalWallis: z.object({ h: z.number(), df: z.number(), p: z.number() }),
      tukey: pairs,
      gamesHowell: pairs.exactOptional(),
      residualSd: z.number(),
      rSquared: z.number(),
      effect: z.object({ omegaSquared: z.number(), interval: interval.exactOptional() }),
      canShow: z.object({ detectable: z.number(), sentence: z.string() }),
    }),
    example: {
      groups: [
        [6.9, 5.4, 5.8, 4.6, 4.0],
        [8.3, 6.8, 7.8, 9.2, 6.5],
        [8.0, 10.5, 8.1, 6.9, 9.3],
      ],
    },
    run: compareMany,
  }),
];
