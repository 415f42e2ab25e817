import { z } from "zod";
import { capstan, catenary, fallEnergy, loadedLine, redirect, slingLegs } from "../../rig/mod.ts";
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
    example: { mu: 0.1, wrapAngleRad: 3.141592653589793 },
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
];
