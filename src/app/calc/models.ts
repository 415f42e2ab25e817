import { z } from "zod";
import { linearModel, mixedModel } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { confidence, interval, list, maxValues } from "./fields.ts";

const columns = z
  .record(z.string().min(1).max(200), z.array(z.number()).max(maxValues))
  .describe("Numbers by the name of their column, all of one length.");
const response = z.array(z.number()).max(maxValues);
const names = z.array(z.union([z.string(), z.number()])).max(maxValues);
const named = z.record(z.string(), z.number()).readonly();
const intervals = z.record(z.string(), interval).readonly();

/** How a strength depends on what was varied. */
export const modelCalculations = [
  defineCalculation({
    name: "linear-model",
    version: "1",
    long: true,
    answers: "How does a response depend, in a straight line, on one or more columns?",
    formula: "Least squares; standard errors s √((XᵀX)⁻¹); HC3 with residuals over 1 − leverage",
    source:
      "NIST/SEMATECH e-Handbook 4.4.3; J. G. MacKinnon and H. White, J. Econometrics 29 (1985), 305-325",
    input: z.object({
      columns,
      response,
      intercept: z.boolean().exactOptional().describe("A column of ones is added unless this is false."),
      confidence: confidence.exactOptional(),
      at: z
        .record(z.string(), z.number())
        .exactOptional()
        .describe("Where the response is to be foretold: a number for each column."),
    }),
    output: z.object({
      n: z.number(),
      coefficients: named,
      standardErrors: named,
      intervals,
      p: named,
      df: z.number(),
      residualSd: z.number(),
      rSquared: z.number(),
      hc3: named.exactOptional(),
      prediction: z
        .object({ value: z.number(), standardError: z.number(), interval, valueInterval: interval })
        .exactOptional(),
    }),
    example: { columns: { bury: [10, 20, 30, 40] }, response: [2.1, 3.9, 6.2, 7.8] },
    run: linearModel,
  }),
  defineCalculation({
    name: "mixed-model",
    version: "2",
    long: true,
    answers:
      "How does a response depend on columns where rows come in groups, such as the pulls of one spool, and how much of the scatter lies between the groups?",
    formula:
      "response = fixed effects + group effects + rest, by restricted maximum likelihood; degrees of freedom by Satterthwaite",
    source:
      "H. D. Patterson and R. Thompson, Biometrika 58 (1971), 545-554; F. G. Giesbrecht and J. C. Burns, Biometrics 41 (1985), 477-486; D. Bates, M. Maechler, B. Bolker and S. Walker, J. Stat. Softw. 67(1) (2015)",
    input: z.object({
      response,
      fixed: columns.default({}),
      group: names,
      slopes: z
        .array(z.string())
        .max(20)
        .exactOptional()
        .describe("Names of fixed columns whose slope, too, differs from group to group."),
      crossed: z
        .record(z.string().min(1).max(200), names)
        .exactOptional()
        .describe("Further groupings of the rows, which may cross the first or lie within it."),
      confidence: confidence.exactOptional(),
    }),
    output: z.object({
      n: z.number(),
      groups: z.number(),
      fixed: named,
      standardErrors: named,
      satterthwaiteDf: named,
      intervals,
      groupSd: z.number(),
      residualSd: z.number(),
      groupShare: z.number(),
      slopeSds: named.exactOptional(),
      correlations: list(
        z.object({ of: z.tuple([z.string(), z.string()]).readonly(), value: z.number() }),
      ).exactOptional(),
      crossedSds: named.exactOptional(),
      remlCriterion: z.number(),
    }),
    example: {
      response: [55, 53, 54, 26, 37, 32, 78, 91, 85],
      fixed: {},
      group: ["1", "1", "1", "2", "2", "2", "3", "3", "3"],
    },
    run: mixedModel,
  }),
];
