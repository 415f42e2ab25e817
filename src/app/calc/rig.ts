import { z } from "zod";
import {
  basket,
  capstan,
  catenary,
  choke,
  fallEnergy,
  loadedLine,
  redirect,
  shareLegs,
  slingLegs,
  weakestPart,
  worseLoss,
  wraps,
} from "../../rig/mod.ts";
import { defineCalculation } from "./define.ts";
import { list } from "./fields.ts";

const optional = z.number().exactOptional();

/** Forces in a rig by statics. Lengths in metres, forces in newtons, angles as their names say. */
export const rigCalculations = [
  defineCalculation({
    name: "line-point-load",
    version: "1",
    answers:
      "How hard does a long line between two anchors pull, with its weight, its stretch and a load on it?",
    formula:
      "across = ∫ H/T + H/EA ds, down = ∫ V/T + V/EA ds along the unstretched line; V falls by the weight and the load",
    source: "H. M. Irvine, Cable Structures (1981), section 2.3 (from memory)",
    input: z.object({
      spanM: z.number(),
      riseM: optional.describe("How far the right anchor lies above the left one."),
      weightNPerM: optional,
      stiffnessEAN: optional.describe("Force over strain; absent for a line taken not to stretch."),
      loadN: optional,
      positionM: optional.describe(
        "Where the load hangs, level from the left anchor; the middle unless said.",
      ),
      lengthM: optional.describe("Unstretched length. Of length, sag and pretension just one is given."),
      sagM: optional.describe("Depth of the load below the chord; without a load the greatest depth."),
      pretensionN: optional.describe("Tension at the left anchor before the load is hung."),
    }),
    output: z.object({
      horizontalN: z.number(),
      tensionN: z.number(),
      tensionLeftN: z.number(),
      tensionRightN: z.number(),
      upwardLeftN: z.number(),
      upwardRightN: z.number(),
      angleLeftDeg: z.number(),
      angleRightDeg: z.number(),
      sagM: z.number(),
      sagAtM: z.number(),
      lengthM: z.number(),
      unstretchedLengthM: z.number(),
      shape: list(z.object({ xM: z.number(), yM: z.number() })),
    }),
    example: { spanM: 20, lengthM: 20, loadN: 800, stiffnessEAN: 50_000 },
    run: loadedLine,
  }),
  defineCalculation({
    name: "catenary",
    version: "1",
    answers:
      "How hard does a line that hangs by its own weight between level anchors pull, and how long is it?",
    formula: "a (cosh(L/2a) − 1) = sag; H = w a; T = w (a + sag); S = 2a sinh(L/2a)",
    source: "F. P. Beer and E. R. Johnston, Vector Mechanics for Engineers: Statics, chapter 7 (from memory)",
    input: z.object({
      spanM: z.number(),
      sagM: z.number(),
      weightNPerM: z.number(),
      model: z.enum(["catenary", "parabola"]).exactOptional(),
    }),
    output: z.object({
      horizontalN: z.number(),
      tensionMaxN: z.number(),
      lengthM: z.number(),
      parameterM: optional,
    }),
    example: { spanM: 100, sagM: 10, weightNPerM: 20 },
    run: catenary,
  }),
  defineCalculation({
    name: "capstan",
    version: "1",
    answers:
      "How much more can a rope carry on one side of a pin than on the other before it slips round it?",
    formula: "T₁ / T₂ = e^(μθ)",
    source: "Euler and Eytelwein; F. P. Beer and E. R. Johnston, Statics, chapter 8 (from memory)",
    input: z.object({ mu: optional, wrapAngleRad: optional, tensionRatio: optional }),
    output: z.object({ mu: z.number(), wrapAngleRad: z.number(), tensionRatio: z.number() }),
    example: { mu: 0.1, wrapAngleRad: Math.PI },
    run: capstan,
  }),
  defineCalculation({
    name: "sling-legs",
    version: "1",
    answers: "What does each leg of a lift carry when the legs spread from the vertical?",
    formula: "T = W / (n cos α)",
    source: "Statics; the factors 1, 1.155, 1.414, 2 at 0, 30, 45, 60 degrees are tabulated everywhere",
    input: z.object({
      loadN: z.number(),
      legs: z.number(),
      angleFromVerticalDeg: z.number(),
      legsCounted: optional.describe("How many legs are counted on to carry; all unless said."),
    }),
    output: z.object({ legTensionN: z.number(), factor: z.number(), legsCounted: z.number() }),
    example: { loadN: 1000, legs: 2, angleFromVerticalDeg: 60 },
    run: slingLegs,
  }),
  defineCalculation({
    name: "fall-energy",
    version: "1",
    answers: "What force does a falling load reach if nothing but springs takes up its energy?",
    formula: "F = W (1 + √(1 + 2h/δ)), δ = W/k, 1/k = Σ 1/kᵢ; or F = W + √(W² + 2 W EA f)",
    source: "S. Timoshenko, Strength of Materials; W. C. Young, Roark's Formulas (both from memory)",
    input: z.object({
      weightN: z.number(),
      freeFallM: optional,
      stiffnessNPerM: z.union([z.number(), z.array(z.number()).max(1000)]).exactOptional(),
      fallFactor: optional.describe("Height of the fall over the length of the line."),
      stiffnessEAN: optional,
    }),
    output: z.object({
      peakForceN: z.number(),
      stretchM: optional,
      staticStretchM: optional,
      energyJ: optional,
      factor: z.number(),
    }),
    example: { weightN: 800, freeFallM: 2, stiffnessNPerM: 4000 },
    run: fallEnergy,
  }),
  defineCalculation({
    name: "basket",
    version: "1",
    answers: "What do the two legs of a rope carry that runs under a round load and up on both sides?",
    formula: "T = W / √(1 + ρ² + 2ρ cos β), ρ from e^(−μ(π + β)) to 1",
    source: "Statics with the capstan equation, own derivation",
    input: z.object({
      loadN: z.number(),
      includedAngleDeg: z.number().describe("Between the legs, from 0 to below 180."),
      mu: optional.describe("Friction of rope on load; none unless said."),
    }),
    output: z.object({
      evenN: z.number(),
      highN: z.number(),
      lowN: z.number(),
      wrapAngleRad: z.number(),
    }),
    example: { loadN: 1000, includedAngleDeg: 60, mu: 0.1 },
    run: basket,
  }),
  defineCalculation({
    name: "choke",
    version: "1",
    answers: "What does a rope carry that goes round a round load and through its own eye?",
    formula: "body from T e^(−μφ) to T e^(μφ), φ = 180° − choke; eye’s leg = |T u + body v|",
    source: "Statics with the capstan equation, own derivation",
    input: z.object({
      tensionN: z.number().describe("Of the standing part."),
      chokeDeg: z.number().describe("Between the standing part and the rope that goes on round the load."),
      mu: optional.describe("Friction of the rope in its eye; none unless said."),
    }),
    output: z.object({
      bodyLowN: z.number(),
      bodyHighN: z.number(),
      eyeLegN: z.number(),
      highestN: z.number(),
      ownLowDeg: z.number(),
      ownHighDeg: z.number(),
    }),
    example: { tensionN: 1000, chokeDeg: 90, mu: 0.2 },
    run: choke,
  }),
  defineCalculation({
    name: "redirect",
    version: "1",
    answers: "What does a pulley that turns a line pull on its anchor?",
    formula: "√(T² + T'² − 2 T T' cos turn), T' = efficiency · T",
    source: "Statics: the sum of two forces",
    input: z.object({
      tensionN: z.number(),
      turnDeg: z.number().describe("How far the line is turned aside: 0 straight on, 180 back again."),
      efficiency: optional,
    }),
    output: z.object({ tensionOutN: z.number(), anchorN: z.number() }),
    example: { tensionN: 1000, turnDeg: 90 },
    run: redirect,
  }),
  defineCalculation({
    name: "share-legs",
    version: "1",
    answers: "How does a load share itself between legs side by side that differ in length and stiffness?",
    formula: "Tᵢ = kᵢ max(0, x − Δᵢ), Σ Tᵢ = load",
    source: "Statics of springs side by side",
    input: z.object({
      loadN: z.number(),
      legs: z
        .array(z.object({ stiffnessNPerM: z.number(), longerM: optional.describe("Than the shortest.") }))
        .max(1000),
    }),
    output: z.object({
      tensionsN: list(z.number()),
      travelM: z.number(),
      worst: z.number(),
      slack: z.number(),
    }),
    example: {
      loadN: 1000,
      legs: [{ stiffnessNPerM: 100_000 }, { stiffnessNPerM: 100_000, longerM: 0.005 }],
    },
    run: shareLegs,
  }),
  defineCalculation({
    name: "wraps",
    version: "1",
    answers: "What do several wraps of a thinner rope between two pins hold, at worst and at best?",
    formula: "at best 2w legs; at worst the better of 1 + (2w − 1)(1 − spread/strain)₊ and Σ e^(−μπ dᵢ)",
    source:
      "Own derivation from Tᵢ = k (x − Δᵢ)₊ and the capstan equation; no published source for wraps of braid",
    input: z.object({
      legN: z.number(),
      wraps: z.number(),
      lengthSpread: optional,
      breakStrain: optional,
      mu: optional,
    }),
    output: z.object({
      lowN: z.number(),
      highN: z.number(),
      lowLegs: z.number(),
      highLegs: z.number(),
      limitedBy: z.enum(["length", "friction"]),
    }),
    example: { legN: 10_000, wraps: 2 },
    run: wraps,
  }),
  defineCalculation({
    name: "worse-loss",
    version: "1",
    answers: "What is left of a rope's strength at its end and over its bend?",
    formula: "the smaller of the two; they are not multiplied",
    source: "Marine lifting guideline 0027/ND revision 11 (2016)",
    input: z.object({ termination: z.number(), bend: z.number() }),
    output: z.object({ retention: z.number(), because: z.enum(["termination", "bend", "neither"]) }),
    example: { termination: 0.9, bend: 0.7 },
    run: worseLoss,
  }),
  defineCalculation({
    name: "weakest-part",
    version: "1",
    long: true,
    answers: "Which part of a rig gives way first, and how likely does any give way at this load?",
    formula:
      "P(any) = 1 − Π over populations E[Π P(part holds | μ, σ)]; P(first) = ∫ its density × the others' survival",
    source:
      "G. J. Hahn and W. Q. Meeker, Statistical Intervals (1991), 4.7 (from memory); W. Weibull (1951), weakest link",
    input: z.object({
      loadN: z.number(),
      chance: optional.describe("The chance of failing for which a load is worked out; 0.001 unless said."),
      populations: z
        .array(
          z.object({
            name: z.string().max(200),
            pullsN: z.array(z.number()).max(10_000),
            stopped: z.array(z.boolean()).max(10_000).exactOptional(),
          }),
        )
        .max(100)
        .exactOptional(),
      parts: z
        .array(
          z.object({
            name: z.string().max(200),
            population: z.string().max(200).exactOptional(),
            ratedN: optional,
            ratingMeans: z.enum(["mean", "mean minus 3 SD", "least"]).exactOptional(),
            cv: optional,
            share: optional,
            count: optional,
          }),
        )
        .max(100),
    }),
    output: z.object({
      chanceAny: z.number(),
      loadAtChanceN: z.number(),
      parts: list(
        z.object({
          name: z.string(),
          loadN: z.number(),
          chanceFails: z.number(),
          chanceFirst: z.number(),
          gain: z.number(),
        }),
      ),
    }),
    example: {
      loadN: 10_000,
      populations: [{ name: "loop", pullsN: [30_000, 32_000, 35_000, 31_000] }],
      parts: [
        { name: "loop", population: "loop", count: 2 },
        { name: "shackle", ratedN: 60_000, ratingMeans: "mean", cv: 0.05 },
      ],
    },
    run: weakestPart,
  }),
];
