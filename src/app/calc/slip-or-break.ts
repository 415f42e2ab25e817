import { z } from "zod";
import {
  fewestRefits,
  growths,
  mostPlacesAt,
  mostPulls,
  mostRefits,
  movedStrengths,
  type SlipOrBreak,
  slipOrBreak,
} from "../../findings/mod.ts";
import { defineCalculation } from "./define.ts";
import { interval, list } from "./fields.ts";

const growth = z.enum(growths);
const estimated = z.object({ value: z.number(), standardError: z.number().exactOptional() });
const effects = z
  .record(z.string(), estimated)
  .readonly()
  .describe("By covariate: what one unit of it adds to the logarithm of the strength.");

const fitted = z.object({
  growth,
  intercept: estimated.describe(
    "At a bury of no length: of the slip strength's logarithm (exponential) or of the slip strength (linear).",
  ),
  slope: estimated.describe("The same, per diameter of bury."),
  scatter: estimated.describe("Standard deviation of the slip strength's logarithm at one bury."),
  effects,
  logLikelihood: z.number(),
  aicc: z.number().exactOptional(),
  weight: z.number().describe("How much this law counts beside the other, from 0 to 1."),
});

const length = z.object({
  chance: z.number(),
  estimate: z.number().exactOptional().describe("In diameters; absent where the pulls give none."),
  upper: z
    .number()
    .exactOptional()
    .describe("The upper confidence bound, in diameters; absent where the pulls put no end to it."),
});

/** What the calculation and the use case answer. */
export const slipOrBreakAnswer = z.object({
  n: z.number(),
  slipped: z.number(),
  broke: z.number(),
  stopped: z.number(),
  buries: interval,
  given: z
    .enum(["length", "bound", "counts"])
    .describe("A length with its bound, a bound alone, or only what counts say."),
  growth: growth.exactOptional().describe("The law that fits better."),
  growthDecided: z
    .boolean()
    .exactOptional()
    .describe("False where the pulls cannot tell the laws apart, and both count."),
  growths: list(fitted),
  slip: fitted.exactOptional(),
  break: z
    .object({
      mean: estimated.describe("Of the break strength's logarithm."),
      scatter: estimated,
      effects,
      plateau: z
        .object({ strength: z.number(), interval: interval.exactOptional() })
        .describe("The median break strength; no interval where the pulls leave it without end."),
    })
    .exactOptional(),
  curve: list(
    z.object({
      buryDiameters: z.number(),
      probability: z.number().describe("Of slipping first."),
      lower: z.number(),
      upper: z.number(),
      slipStrength: z.number(),
    }),
  ),
  length: length.describe("At the chance asked for; its upper bound is the bury to state."),
  lengths: list(length).describe("At 50, 5 and 1 %."),
  lengthsAt: list(
    length.extend({
      covariates: z.record(z.string(), z.number()).readonly(),
      plateau: z.number().describe("The median break strength there."),
    }),
  ).describe("At the values of covariates that were asked for, in their order."),
  confidence: z.number(),
  counts: list(
    z.object({
      kind: z.enum(["at most", "at least"]),
      buryDiameters: z.number(),
      slipped: z.number(),
      ended: z.number(),
      chance: z.number(),
    }),
  ).describe("What counts of outcomes alone say, if a longer bury slips no more often."),
  toSettle: z
    .object({ buryDiameters: list(z.number()), reason: z.string() })
    .exactOptional()
    .describe("Which buries should be pulled next, and why."),
  refits: z.object({ made: z.number(), settled: z.number(), seed: z.number() }),
}) satisfies z.ZodType<SlipOrBreak>;

const buries = [24, 24, 24, 24, 36, 36, 36, 36, 48, 48, 48, 48];
const strengths = [0.58, 0.66, 0.61, 0.7, 0.84, 0.79, 0.88, 0.9, 0.91, 0.87, 0.93, 0.89];
const slippedAt = [0, 1, 2, 3, 4, 5, 8];

/** Where specimens stop slipping first and break instead. */
export const slipOrBreakCalculations = [
  defineCalculation({
    name: "slip-or-break",
    version: "3",
    long: true,
    answers:
      "From which bury on does a specimen break before it slips, and which bury may be stated as long enough?",
    formula:
      "ln S = a + c·L/d + s₁ε or ln S = ln(α + γ·L/d) + s₁ε; ln B = b + s₂ε; the pull shows the smaller. P(slip first) = Φ((b − E ln S) / √(s₁² + s₂²)). The bound: where the signed root of the likelihood ratio falls to its quantile in refits drawn there",
    source:
      "T. J. DiCiccio, M. A. Martin and S. E. Stern, Canad. J. Statist. 29 (2001), 67-76; A. C. Davison and D. V. Hinkley, Bootstrap Methods and their Application (1997), algorithm 3.1; J. D. Kalbfleisch and R. L. Prentice, The Statistical Analysis of Failure Time Data (2002), chapter 8",
    input: z.object({
      pulls: z
        .array(
          z.object({
            buryDiameters: z.number().describe("The bury as made, in rope diameters."),
            strength: z
              .number()
              .describe("Above 0, all in one unit, such as a fraction of legs × rated strength."),
            outcome: z.enum(["slipped", "broke", "stopped"]),
            covariates: z.record(z.string().min(1).max(100), z.number()).exactOptional(),
          }),
        )
        .max(mostPulls)
        .describe("Pulls that slipped, broke or were stopped; void ones are left out."),
      growth: z
        .enum([...growths, "auto"])
        .default("auto")
        .describe("How slip strength grows with bury; auto: both laws, as well as the pulls can tell."),
      chance: z.number().default(0.05).describe("How unlikely slipping first is to be, such as 0.05."),
      confidence: z.number().default(0.95).describe("Of the bury to state, such as 0.95."),
      refits: z.number().int().min(fewestRefits).max(mostRefits).default(2000),
      seed: z.number().int().min(0).max(4_294_967_295).default(1),
      covariates: z
        .record(z.string().min(1).max(100), z.enum(movedStrengths))
        .exactOptional()
        .describe("Which strengths each covariate moves; both unless said."),
      at: z
        .array(z.record(z.string().min(1).max(100), z.number()))
        .max(mostPlacesAt)
        .exactOptional()
        .describe(
          "Values of covariates at which the length is wanted as well; one that is not named stands at its mean.",
        ),
    }),
    output: slipOrBreakAnswer,
    example: {
      pulls: buries.map((buryDiameters, i) => ({
        buryDiameters,
        strength: strengths[i] as number,
        outcome: slippedAt.includes(i) ? ("slipped" as const) : ("broke" as const),
      })),
      refits: 200,
    },
    run: slipOrBreak,
  }),
];
