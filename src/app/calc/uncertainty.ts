import { z } from "zod";
import { type Result, refuse } from "../../problem/mod.ts";
import {
  budgetDistributions,
  coverageFactor,
  roundValue,
  type StandardUncertainty,
  shapes,
  standardUncertainty,
  uncertaintyBudget,
} from "../../stats/mod.ts";
import { defineCalculation } from "./define.ts";
import { list, values } from "./fields.ts";

const degreesOfFreedom = z.number().describe("Left out: known without doubt.");
/** A number, or its decimal text, which is rounded as the decimal that it is. */
const decimal = z.union([z.number(), z.string().max(200)]);

const limits = z.object({
  form: z.literal("limits"),
  halfWidth: z.number().exactOptional().describe("Half of the width; or give lower and upper."),
  distribution: z.enum(["rectangular", "triangular", "u-shaped", "trapezoidal"]).exactOptional(),
  top: z.number().exactOptional().describe("trapezoidal: the top's width over the base's, 0 to 1."),
  lower: z.number().exactOptional(),
  upper: z.number().exactOptional(),
});

/** How sure a measured value is, by the GUM. */
export const uncertaintyCalculations = [
  defineCalculation({
    name: "uncertainty-budget",
    version: "2",
    answers: "What do the parts of an uncertainty come to together, and which of them matters?",
    formula: "u² = Σ (c u)²; ν = u⁴ / Σ((c u)⁴ / ν); U = t(probability; ν) u",
    source: "JCGM 100:2008 (GUM), 5.1.2, G.4 and G.6.4",
    input: z.object({
      parts: z
        .array(
          z.object({
            name: z.string().max(200),
            value: z
              .number()
              .describe("normal, t: the standard uncertainty. Else: the half-width of the limits."),
            distribution: z.enum(budgetDistributions),
            degreesOfFreedom: degreesOfFreedom.exactOptional(),
            sensitivity: z
              .number()
              .exactOptional()
              .describe("How much the result moves per unit of this quantity; 1 unless said."),
          }),
        )
        .max(1000),
      probability: z.number().exactOptional(),
      k: z.number().exactOptional().describe("A coverage factor by itself, in place of a probability."),
    }),
    output: z.object({
      combined: z.number(),
      effectiveDegreesOfFreedom: z.number().exactOptional(),
      coverageFactor: z.number(),
      expanded: z.number(),
      probability: z.number(),
      parts: list(
        z.object({
          name: z.string(),
          standardUncertainty: z.number(),
          contribution: z.number(),
          share: z.number(),
        }),
      ),
    }),
    example: {
      parts: [
        { name: "cell", value: 0.3, distribution: "rectangular" },
        { name: "readings", value: 0.1, distribution: "t", degreesOfFreedom: 4 },
      ],
    },
    run: uncertaintyBudget,
  }),
  defineCalculation({
    name: "standard-uncertainty",
    version: "2",
    answers:
      "What standard uncertainty does a statement amount to: readings, a certificate, an interval, or limits?",
    formula:
      "readings sd / √n; multiple U / k; interval halfWidth / z or / t; limits a / √3 (rectangular), a / √6 (triangular), a / √2 (u-shaped), a √((1 + β²) / 6) (trapezoidal)",
    source: "JCGM 100:2008 (GUM), 4.2.3, 4.3.3 to 4.3.9 and 4.4",
    input: z.discriminatedUnion("form", [
      z.object({ form: z.literal("readings"), values }),
      z.object({ form: z.literal("multiple"), expanded: z.number(), k: z.number() }),
      z.object({
        form: z.literal("interval"),
        halfWidth: z.number(),
        probability: z.number(),
        degreesOfFreedom: degreesOfFreedom.exactOptional(),
      }),
      limits,
    ]),
    output: z.object({
      u: z.number(),
      mean: z.number().exactOptional(),
      sd: z.number().exactOptional(),
      degreesOfFreedom: z.number().exactOptional(),
    }),
    example: { form: "limits", halfWidth: 15, distribution: "rectangular" },
    run: (input) => (input.form === "limits" ? fromLimits(input) : standardUncertainty(input)),
  }),
  defineCalculation({
    name: "coverage-factor",
    version: "2",
    answers:
      "By what must a standard uncertainty be multiplied, so that the interval holds a given probability?",
    formula:
      "z or t at (1 + p) / 2; rectangular p √3; triangular √6 (1 − √(1 − p)); u-shaped √2 sin(π p / 2)",
    source: "JCGM 100:2008 (GUM), G.3 and table G.2; the bounded shapes by algebra",
    input: z.object({
      probability: z.number(),
      degreesOfFreedom: degreesOfFreedom.exactOptional(),
      shape: z.enum(shapes).exactOptional(),
    }),
    output: z.object({ k: z.number() }),
    example: { probability: 0.95, degreesOfFreedom: 10 },
    run: coverageFactor,
  }),
  defineCalculation({
    name: "round",
    version: "1",
    answers:
      "How is a value written with the digits that count: by its uncertainty, to digits, or to a step?",
    formula:
      "The uncertainty to its significant digits, the value to the same place; exact halves to even unless said",
    source:
      "JCGM 100:2008 (GUM), 7.2.6; NIST SP 811, B.7.1; ISO 80000-1, annex B; Review of Particle Physics, introduction, for pdg",
    input: z.object({
      value: decimal,
      uncertainty: decimal.exactOptional(),
      digits: z.union([z.literal(1), z.literal(2), z.literal("pdg")]).exactOptional(),
      significant: z.number().exactOptional(),
      step: decimal.exactOptional(),
      rule: z.enum(["half-even", "half-up", "up"]).exactOptional(),
    }),
    output: z.object({ value: z.string(), uncertainty: z.string().exactOptional(), text: z.string() }),
    example: { value: 10.05762, uncertainty: 0.027 },
    run: roundValue,
  }),
];

/** Limits come as a half-width, or as a lower and an upper one, which are always rectangular. */
function fromLimits(input: z.output<typeof limits>): Result<StandardUncertainty> {
  const { form, halfWidth, lower, upper, distribution, top } = input;
  if (halfWidth !== undefined && lower === undefined && upper === undefined)
    return standardUncertainty({
      form,
      halfWidth,
      ...(distribution === undefined ? {} : { distribution }),
      ...(top === undefined ? {} : { top }),
    });
  if (
    halfWidth === undefined &&
    lower !== undefined &&
    upper !== undefined &&
    (distribution ?? "rectangular") === "rectangular"
  )
    return standardUncertainty({ form, lower, upper });
  return refuse({
    code: "INPUT_FIELD",
    message: "Limits are given by their half-width, or by a lower and an upper one of a rectangular shape.",
    where: { field: "halfWidth" },
    expected: "halfWidth alone, or lower and upper without it",
  });
}
