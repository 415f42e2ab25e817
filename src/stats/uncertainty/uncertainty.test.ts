import { describe, expect, it } from "vitest";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { coverageFactor } from "./coverage-factor.ts";
import { type RoundInput, roundValue } from "./round.ts";
import { standardUncertainty, type UncertaintySource } from "./standard-uncertainty.ts";
import { type BudgetPart, uncertaintyBudget } from "./uncertainty-budget.ts";

describe("coverageFactor", () => {
  // JCGM 100:2008 (GUM), table G.2; 0.9545 and 0.9973 stand for 95.45 % and 99.73 %.
  it.each([
    [1, 0.95, 12.71],
    [3, 0.95, 3.18],
    [10, 0.95, 2.23],
    [20, 0.95, 2.09],
    [5, 0.9545, 2.65],
    [20, 0.9545, 2.13],
    [16, 0.99, 2.92],
    [10, 0.9973, 3.96],
  ])("%d degrees of freedom, probability %d: %d", (degreesOfFreedom, probability, k) => {
    expect(
      disagreements(givenBy(coverageFactor({ degreesOfFreedom, probability })), { k }, 0, 0.0055),
    ).toEqual([]);
  });

  it("knows bounded shapes", () => {
    // The whole width holds everything: half-width over standard uncertainty.
    const whole = (shape: "rectangular" | "triangular" | "u-shaped") =>
      givenBy(coverageFactor({ probability: 1 - 1e-12, shape })).k;
    expect(whole("rectangular")).toBeCloseTo(Math.sqrt(3), 5);
    expect(whole("triangular")).toBeCloseTo(Math.sqrt(6), 5);
    expect(whole("u-shaped")).toBeCloseTo(Math.SQRT2, 5);
    // EA-4/02, S10: k = 1.65 for a rectangular law at 95 %.
    expect(givenBy(coverageFactor({ probability: 0.95, shape: "rectangular" })).k).toBeCloseTo(1.65, 2);
    expect(givenBy(coverageFactor({ probability: 0.95 })).k).toBeCloseTo(1.959964, 6);
    expect(codeOf(coverageFactor({ probability: 0.95, shape: "t" }))).toBe("STAT_TOO_FEW");
    expect(codeOf(coverageFactor({ probability: 95 }))).toBe("STAT_VALUE");
  });
});

describe("standardUncertainty", () => {
  // JCGM 100:2008 (GUM): 4.3.3, 4.3.4, 4.3.7, 4.4.5, 4.4.3 with table 1.
  it.each<[string, UncertaintySource, object, number]>([
    ["4.3.3, in µg", { form: "multiple", expanded: 240, k: 3 }, { u: 80 }, 0.05],
    ["4.3.4, in µΩ", { form: "interval", halfWidth: 129, probability: 0.99 }, { u: 50 }, 0.5],
    ["4.3.7, example 1, in 1/K", { form: "limits", halfWidth: 4e-7 }, { u: 2.3e-7 }, 5e-9],
    [
      "4.3.7, example 2, in µV",
      { form: "limits", halfWidth: 15, distribution: "rectangular" },
      { u: 8.7 },
      0.05,
    ],
    ["4.4.5, in °C", { form: "limits", lower: 96, upper: 104 }, { u: 2.3 }, 0.05],
    [
      "4.4.6, triangular, in °C",
      { form: "limits", halfWidth: 4, distribution: "triangular" },
      { u: 1.6 },
      0.05,
    ],
    [
      "4.4.3, in °C",
      {
        form: "readings",
        values: [
          96.9, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
          100.95, 101.11, 101.2, 101.57, 101.84, 102.36, 102.72,
        ],
      },
      { mean: 100.145, sd: 1.489, u: 0.333, degreesOfFreedom: 19 },
      6e-4,
    ],
  ])("as published, GUM %s", (_, source, expected, tolerance) => {
    expect(disagreements(givenBy(standardUncertainty(source)), expected, 0, tolerance)).toEqual([]);
  });

  it("takes the trapezium from the triangle to the rectangle", () => {
    // GUM 4.3.9: β = 0 is the triangle, β = 1 the rectangle.
    const at = (top: number) =>
      givenBy(standardUncertainty({ form: "limits", halfWidth: 1, distribution: "trapezoidal", top })).u;
    expect(at(0)).toBeCloseTo(1 / Math.sqrt(6), 14);
    expect(at(1)).toBeCloseTo(1 / Math.sqrt(3), 14);
  });

  it("refuses", () => {
    expect(codeOf(standardUncertainty({ form: "readings", values: [4] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(standardUncertainty({ form: "multiple", expanded: 4, k: 0 }))).toBe("STAT_VALUE");
    expect(codeOf(standardUncertainty({ form: "limits", halfWidth: -1 }))).toBe("STAT_VALUE");
    expect(codeOf(standardUncertainty({ form: "limits", lower: 3, upper: 2 }))).toBe("STAT_VALUE");
    expect(codeOf(standardUncertainty({ form: "interval", halfWidth: 1, probability: 95 }))).toBe(
      "STAT_VALUE",
    );
  });
});

/** Standard uncertainties with their sensitivities, as the sources print them. */
function parts(
  ...rows: readonly (readonly [value: number, sensitivity: number, degreesOfFreedom?: number])[]
): BudgetPart[] {
  return rows.map(([value, sensitivity, degreesOfFreedom], i) => ({
    name: `part ${i + 1}`,
    value,
    distribution: "normal",
    sensitivity,
    ...(degreesOfFreedom !== undefined && { degreesOfFreedom }),
  }));
}

describe("uncertaintyBudget", () => {
  it.each([
    // GUM H.1, end gauge, in nm: u_c = 32 (31.71 unrounded), 16 degrees of freedom, k = 2.92, U = 93 (92.6 unrounded).
    [
      "H.1",
      parts([25, 1, 18], [9.7, 1, 25.6], [5.8e-7, 5e6, 50], [0.029, 575, 2]),
      0.99,
      { combined: 31.71, effectiveDegreesOfFreedom: 16.7, coverageFactor: 2.92, expanded: 92.6 },
      0.06,
    ],
    // GUM H.1.7: the second-order terms raise u_c to 34.
    ["H.1.7", parts([31.7, 1], [11.7, 1], [1.7, 1]), 0.95, { combined: 34 }, 0.5],
    // GUM H.1.3.2 and H.1.6: u(d) = 9.7, degrees of freedom 25.6 with 9.7 rounded.
    [
      "H.1.3.2",
      parts([5.8, 1, 24], [3.9, 1, 5], [6.7, 1, 8]),
      0.95,
      { combined: 9.7, effectiveDegreesOfFreedom: 25.6 },
      0.2,
    ],
    // GUM G.4.1, in per cent: u_c = 1.03, degrees of freedom 19.0, U = 2.2 (with k = 2.09; truncated to 18, k = 2.10).
    [
      "G.4.1",
      parts([0.25, 1, 9], [0.57, 1, 4], [0.82, 1, 14]),
      0.95,
      { combined: 1.03, effectiveDegreesOfFreedom: 19.0, coverageFactor: 2.09, expanded: 2.2 },
      0.051,
    ],
  ] as const)("as published, GUM %s", (_, given, probability, expected, tolerance) => {
    expect(
      disagreements(givenBy(uncertaintyBudget({ parts: given, probability })), expected, 0, tolerance),
    ).toEqual([]);
  });

  it("as published: a weight of 10 kg", () => {
    // EA-4/02, S2, in mg: 22.5 from the certificate; limits 15, 25, 10 and 10; u = 29.3, U = 59 with k = 2.
    const limits = [15, 25, 10, 10].map((value, i) => ({
      name: `limit ${i}`,
      value,
      distribution: "rectangular" as const,
    }));
    const given = [{ name: "standard", value: 22.5, distribution: "normal" as const }, ...limits];
    const got = givenBy(uncertaintyBudget({ parts: given, k: 2 }));
    expect(disagreements(got, { combined: 29.3, expanded: 59, coverageFactor: 2 }, 0, 0.5)).toEqual([]);
    expect(got.parts.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
    expect(got.effectiveDegreesOfFreedom).toBeUndefined();
  });

  it("refuses", () => {
    expect(codeOf(uncertaintyBudget({ parts: [] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(uncertaintyBudget({ parts: parts([-1, 1]) }))).toBe("STAT_VALUE");
    expect(codeOf(uncertaintyBudget({ parts: parts([1, Number.NaN]) }))).toBe("STAT_VALUE");
    expect(codeOf(uncertaintyBudget({ parts: parts([1, 1, 0]) }))).toBe("STAT_VALUE");
    expect(
      codeOf(uncertaintyBudget({ parts: [{ name: "a", value: 1, distribution: "gauss" as "normal" }] })),
    ).toBe("INPUT_UNKNOWN");
    expect(codeOf(uncertaintyBudget({ parts: parts([1, 1]), k: 0 }))).toBe("STAT_VALUE");
    expect(givenBy(uncertaintyBudget({ parts: parts([0, 1, 3]) })).expanded).toBe(0);
  });
});

describe("roundValue", () => {
  it.each<[string, RoundInput, string]>([
    ["GUM 7.2.6: 10.47 mΩ, up", { value: 10.47, significant: 2, rule: "up" }, "11"],
    ["GUM 7.2.6: 28.05 kHz", { value: 28.05, significant: 2 }, "28"],
    ["GUM 7.2.6: 10.057 62 Ω with 27 mΩ", { value: 10.05762, uncertainty: 0.027 }, "10.058 ± 0.027"],
    ["Review of Particle Physics", { value: 0.827, uncertainty: 0.119, digits: "pdg" }, "0.83 ± 0.12"],
    ["Review of Particle Physics", { value: 0.827, uncertainty: 0.367, digits: "pdg" }, "0.8 ± 0.4"],
    [
      "the same rule above 949, by hand",
      { value: 0.8271, uncertainty: 0.0963, digits: "pdg" },
      "0.83 ± 0.10",
    ],
    ["NIST SP 811, B.7.1", { value: "6.974951", significant: 3 }, "6.97"],
    ["NIST SP 811, B.7.1", { value: "6.974951", significant: 2 }, "7.0"],
    ["NIST SP 811, B.7.1", { value: "6.9749515", significant: 7 }, "6.974952"],
    ["ISO 80000-1, annex B", { value: "12.223", step: "0.1" }, "12.2"],
    ["ISO 80000-1, annex B", { value: "12.251", step: "0.1" }, "12.3"],
    ["ISO 80000-1, annex B", { value: "1225.1", step: "10" }, "1230"],
    ["ISO 80000-1, annex B, rule A", { value: "12.25", step: "0.1", rule: "half-even" }, "12.2"],
    ["ISO 80000-1, annex B, rule B", { value: "12.25", step: "0.1", rule: "half-up" }, "12.3"],
    ["by hand: a step of 0.5", { value: "12.3", step: "0.5" }, "12.5"],
    ["by hand: below zero", { value: -0.0449, uncertainty: "0.012" }, "-0.045 ± 0.012"],
    ["by hand: a carry", { value: "9.996", significant: 3 }, "10.0"],
    ["by hand: large", { value: 41234, uncertainty: 870 }, "41230 ± 870"],
    ["by hand: an exponent", { value: 1.5e-7, significant: 1 }, "0.0000002"],
  ])("%s", (_, input, text) => {
    expect(givenBy(roundValue(input)).text).toBe(text);
  });

  it("refuses", () => {
    expect(codeOf(roundValue({ value: "12,4", significant: 2 }))).toBe("STAT_VALUE");
    expect(codeOf(roundValue({ value: Number.NaN, significant: 2 }))).toBe("STAT_VALUE");
    expect(codeOf(roundValue({ value: 1, uncertainty: 0 }))).toBe("STAT_VALUE");
    expect(codeOf(roundValue({ value: 1, step: -1 }))).toBe("STAT_VALUE");
    expect(codeOf(roundValue({ value: 1 }))).toBe("STAT_VALUE");
  });
});
