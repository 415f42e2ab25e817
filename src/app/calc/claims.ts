import { z } from "zod";
import { bootstrap, bootstrapStatistics, claim, pool } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { confidence, content, interval, values } from "./fields.ts";

const pooled = z.object({ mean: z.number(), standardError: z.number(), interval, tau2: z.number() });

/** What several sources say together, and what to make of a published figure. */
export const claimCalculations = [
  defineCalculation({
    name: "claim",
    version: "1",
    answers: "Is a published figure compatible with these values?",
    formula:
      "mean: t test and two one-sided t tests within the margin. least: the share above by z = (mean − figure) / sd, its limits by the non-central t of √n z with n − 1 degrees of freedom",
    source:
      "D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987), 657-680; D. B. Owen, Technometrics 10 (1968), 445-478",
    input: z.object({
      values,
      claimed: z.number(),
      kind: z.enum(["mean", "least"]),
      margin: z
        .number()
        .exactOptional()
        .describe(
          "mean: how far off still counts as the same, as a fraction of the figure; 0.05 unless said.",
        ),
      content: content.exactOptional(),
      confidence: confidence.exactOptional(),
    }),
    output: z.object({
      verdict: z.enum(["supported", "contradicted", "undecided"]),
      meaning: z.string(),
      mean: z
        .object({
          difference: z.number(),
          interval,
          p: z.number(),
          equivalenceP: z.number(),
          margin: z.number(),
        })
        .exactOptional(),
      least: z.object({ shareAbove: z.number(), interval, countBelow: z.number() }).exactOptional(),
    }),
    example: { values: [48.1, 50.3, 49.2, 51.0, 49.9], claimed: 60, kind: "mean" },
    run: claim,
  }),
  defineCalculation({
    name: "pool",
    version: "2",
    long: true,
    answers: "What do several testers' series say together, and how far may the next one lie from it?",
    formula:
      "Weights 1 / (se² + τ²); Hartung-Knapp se² = Σ w (y − mean)² / ((k − 1) Σ w) with Student's t at k − 1; prediction mean ± t(k − 1) √(τ² + se²); next source: normal laws about the weighed mean with variance τ² + 1/Σw, over the τ² at which Q is each quantile of χ² at k − 1",
    source:
      "R. DerSimonian and N. Laird, Controlled Clinical Trials 7 (1986), 177-188; J. Hartung and G. Knapp, Statist. Med. 20 (2001), 3875-3889; J. P. T. Higgins et al., J. R. Statist. Soc. A 172 (2009), 137-159; R. C. Paule and J. Mandel, J. Res. NBS 87 (1982), 377-385; K. Nagashima et al., Stat. Methods Med. Res. 28 (2019), 1689-1702",
    input: z.object({
      estimates: z.array(z.number()).max(10_000),
      standardErrors: z.array(z.number()).max(10_000),
      confidence: confidence.exactOptional(),
    }),
    output: z.object({
      k: z.number(),
      fixed: pooled,
      dl: pooled,
      pm: pooled,
      reml: pooled.extend({
        hartungKnapp: z.object({ standardError: z.number(), interval }),
        predictionInterval: interval,
      }),
      nextSource: z.object({ interval }),
      heterogeneity: z.object({ q: z.number(), df: z.number(), p: z.number(), i2: z.number() }),
    }),
    example: { estimates: [50.86, 47.77, 49.9], standardErrors: [1.0, 0.87, 1.1] },
    run: pool,
  }),
  defineCalculation({
    name: "bootstrap",
    version: "2",
    long: true,
    answers: "How uncertain is a statistic, by drawing anew from the values themselves?",
    formula:
      "Bias-corrected and accelerated, or percentile, interval of the statistic over resamples from a seed",
    source: "B. Efron and R. J. Tibshirani, An Introduction to the Bootstrap (1993), chapters 11, 13 and 14",
    input: z.object({
      values,
      others: values.exactOptional().describe("For the correlation: the other value of each pair."),
      statistic: z.enum(bootstrapStatistics),
      resamples: z.number().int().min(200).max(1_000_000).exactOptional(),
      seed: z.number().int().min(0).max(4_294_967_295).exactOptional(),
      interval: z.enum(["bca", "percentile"]).exactOptional(),
      confidence: confidence.exactOptional(),
    }),
    output: z.object({
      estimate: z.number(),
      interval,
      standardError: z.number(),
      bias: z.number(),
      jackknife: z.object({ standardError: z.number(), bias: z.number() }),
      resamples: z.number(),
      seed: z.number(),
    }),
    example: { values: [54.5, 55.2, 52.3, 57.2, 48.3, 50.6, 51.8], statistic: "cv" },
    run: bootstrap,
  }),
];
