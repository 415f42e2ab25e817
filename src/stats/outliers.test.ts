import { describe, expect, it } from "vitest";
import { grubbsCritical, outliers } from "./outliers.ts";
import { codeOf, disagreements, givenBy } from "./test-data/agree.ts";

// Closed form with R 4.2.2's qt.
const computed = [
  {
    input: { values: [49.29, 51.78, 50.56, 56.4, 50.02], alpha: 0.05 },
    expected: { statistic: 1.693891320204617, critical: 1.7150373123433638, suspects: [] },
    relative: 1e-9,
  },
  {
    input: { values: [52.97, 51.63, 52.02, 51.94, 52.56, 54.14, 56.02, 50.01], alpha: 0.05 },
    expected: { statistic: 1.869375824968969, critical: 2.1266450871954654, suspects: [] },
    relative: 1e-9,
  },
  {
    input: {
      values: [48.38, 49.57, 52.51, 50.78, 53.72, 52.72, 46.15, 52.22, 50.71, 50.23, 48.35, 41.0],
      alpha: 0.05,
    },
    expected: { statistic: 2.492449719137749, critical: 2.4115595184316523, suspects: [11] },
    relative: 1e-9,
  },
  {
    input: {
      values: [
        66.2, 49.99, 54.24, 52.75, 54.84, 45.77, 55.3, 49.28, 47.06, 51.27, 50.03, 54.42, 49.25, 51.17, 49.69,
      ],
      alpha: 0.05,
    },
    expected: { statistic: 2.9316564589526646, critical: 2.5483077717433438, suspects: [0] },
    relative: 1e-9,
  },
  {
    input: {
      values: [
        55.83, 51.71, 59.82, 56.23, 56.28, 54.02, 44.75, 52.27, 54.44, 50.63, 52.79, 57.06, 56.41, 53.74,
        58.1, 51.1, 41.13, 57.55, 44.72, 55.96, 48.19, 57.88, 53.16, 54.18, 55.17,
      ],
      alpha: 0.05,
    },
    expected: { statistic: 2.665395221694229, critical: 2.821681237805196, suspects: [] },
    relative: 1e-9,
  },
  {
    input: { values: [53.42, 47.21, 51.84, 50.71, 54.08, 48.16, 48.47, 53.74, 51.39, 38.5], alpha: 0.01 },
    expected: { statistic: 2.427937861300312, critical: 2.4820832497153322, suspects: [] },
    relative: 1e-9,
  },
] as const;

describe("outliers", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(outliers(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("as published: uranium readings", () => {
    // NIST/SEMATECH e-Handbook 1.3.5.17.1 (Tietjen and Moore 1972), one-sided: G = 2.4687, critical 2.032.
    const values = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
    const got = givenBy(outliers({ values, sides: "high" }));
    expect(disagreements(got, { statistic: 2.4687, critical: 2.032, suspects: [7] }, 0, 6e-4)).toEqual([]);
    expect(givenBy(outliers({ values, sides: "low" })).suspects).toEqual([]);
  });

  it("as published: Rosner's 54 values, three outliers of ten looked for", () => {
    // NIST/SEMATECH e-Handbook 1.3.5.17.3; the handbook cuts after three decimals.
    const values = [
      -0.25, 0.68, 0.94, 1.15, 1.2, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69,
      1.7, 1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.1, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35,
      2.37, 2.4, 2.47, 2.54, 2.62, 2.64, 2.9, 2.92, 2.92, 2.93, 3.21, 3.26, 3.3, 3.59, 3.68, 4.3, 4.64, 5.34,
      5.42, 6.01,
    ];
    const { steps, suspects } = givenBy(outliers({ values, atMost: 10 }));
    const statistics = [3.118, 2.942, 3.179, 2.81, 2.815, 2.848, 2.279, 2.31, 2.101, 2.067];
    const criticals = [3.158, 3.151, 3.143, 3.136, 3.128, 3.12, 3.111, 3.103, 3.094, 3.085];
    expect(
      disagreements(
        steps.map(({ statistic }) => statistic),
        statistics,
        0,
        0.0011,
      ),
    ).toEqual([]);
    expect(
      disagreements(
        steps.map(({ critical }) => critical),
        criticals,
        0,
        0.0011,
      ),
    ).toEqual([]);
    expect(suspects.map((index) => values[index])).toEqual([6.01, 5.42, 5.34]);
  });

  // ISO 5725-2:1994, table 5, and Grubbs (1969), table I.
  it.each<["one" | "two", number, number, number]>([
    ["two", 3, 0.05, 1.155],
    ["two", 3, 0.01, 1.155],
    ["two", 5, 0.05, 1.715],
    ["two", 5, 0.01, 1.764],
    ["two", 8, 0.05, 2.126],
    ["two", 8, 0.01, 2.274],
    ["two", 10, 0.05, 2.29],
    ["two", 10, 0.01, 2.482],
    ["two", 20, 0.05, 2.709],
    ["two", 20, 0.01, 3.001],
    ["one", 3, 0.05, 1.1531],
    ["one", 6, 0.05, 1.8221],
    ["one", 10, 0.05, 2.1761],
    ["one", 15, 0.05, 2.409],
  ])("critical value, %s side(s), n = %d, alpha %d: %d", (sides, n, alpha, critical) => {
    // Three decimals, the last of them one off in places; four on one side.
    const tolerance = sides === "two" ? 0.0015 : 0.00016;
    expect(Math.abs(grubbsCritical({ n, alpha, sides }) - critical)).toBeLessThan(tolerance);
  });

  it("finds two that hide each other only where two may be suspected", () => {
    const values = [10, 10.1, 9.9, 10.05, 9.95, 10.02, 14, 14.1];
    expect(givenBy(outliers({ values })).suspects).toEqual([]);
    expect(givenBy(outliers({ values, atMost: 2 })).suspects.length).toBe(2);
  });

  it("refuses", () => {
    expect(codeOf(outliers({ values: [1, 2] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(outliers({ values: [1, 1, 1] }))).toBe("STAT_DEGENERATE");
    expect(codeOf(outliers({ values: [1, 2, 3], atMost: 2 }))).toBe("STAT_VALUE");
    expect(codeOf(outliers({ values: [1, 2, 3], alpha: 5 }))).toBe("STAT_VALUE");
  });
});
