import { z } from "zod";
import { summary } from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { confidence, interval, values } from "./fields.ts";

/** What a list of values shows at first sight. */
export const describingCalculations = [
  defineCalculation({
    name: "summary",
    version: "1",
    answers: "How many values, what is their mean and scatter, and how well is the mean known?",
    formula: "sd² = Σ(x − mean)² / (n − 1); cv = sd / mean; interval: mean ± t(1 − α/2; n − 1) sd / √n",
    source: "NIST/SEMATECH e-Handbook of Statistical Methods 1.3.5.1, 1.3.5.2 and 1.3.5.12",
    input: z.object({ values, confidence: confidence.default(0.95) }),
    output: z.object({
      n: z.number(),
      mean: z.number(),
      lowest: z.number(),
      highest: z.number(),
      sd: z.number().exactOptional(),
      cv: z.number().exactOptional(),
      meanInterval: interval.exactOptional(),
      lag1Autocorrelation: z.number().exactOptional(),
    }),
    example: { values: [52.47, 54.54, 50.2, 53.9] },
    run: ({ values, confidence }) => summary(values, { confidence }),
  }),
];
