import { describe, expect, it } from "vitest";
import { normality } from "./normality.ts";
import { codeOf, disagreements, givenBy } from "./test-data/agree.ts";

// R 4.2.2: shapiro.test; nortest 1.0.4, ad.test.
const computed = [
  {
    input: { values: [51.56, 51.04, 47.49, 49.74, 56.59, 52.99, 48.89, 53.71] },
    expected: {
      shapiroWilk: { statistic: 0.982877591136711, p: 0.975720424593801 },
      andersonDarling: { statistic: 0.136841948464289, p: 0.957188385853371 },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        48.12, 53.53, 55.47, 49.81, 52.76, 49.02, 51.57, 53.7, 51.34, 54.19, 53.0, 50.33, 52.0, 55.28, 51.47,
        51.45, 49.47, 50.37, 49.81, 50.64,
      ],
    },
    expected: {
      shapiroWilk: { statistic: 0.970319665162641, p: 0.761612267859341 },
      andersonDarling: { statistic: 0.228882579939643, p: 0.780624438520047 },
    },
    relative: 1e-6,
  },
  {
    input: { values: [58.94, 52.71, 52.51, 60.19, 56.14, 52.86, 56.21, 52.25, 53.87, 59.73, 56.45, 51.44] },
    expected: {
      shapiroWilk: { statistic: 0.895604653954193, p: 0.139191179487147 },
      andersonDarling: { statistic: 0.518546594053623, p: 0.14870025311504 },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        29.13, 15.14, 34.2, 22.67, 73.93, 25.64, 22.89, 9.28, 14.1, 32.12, 24.38, 23.24, 15.46, 24.22, 33.5,
        11.77, 16.42, 17.12, 13.74, 9.94, 13.17, 12.27, 13.17, 26.99, 17.34, 25.1, 13.59, 15.94, 55.57, 6.04,
        14.12, 5.85, 18.66, 24.76, 10.49,
      ],
    },
    expected: {
      shapiroWilk: { statistic: 0.782504921855859, p: 9.43256325630916e-6 },
      andersonDarling: { statistic: 1.9820050947698, p: 3.68625795591265e-5 },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        43.33, 54.11, 45.86, 56.52, 58.08, 50.01, 49.91, 57.21, 43.14, 38.7, 49.6, 40.34, 60.73, 58.06, 35.45,
        48.69, 31.47, 50.33, 56.94, 43.28, 50.43, 46.68, 36.05, 43.94, 39.11, 45.84, 28.65, 51.61, 54.81,
        26.13, 51.83, 47.74, 48.35, 54.21, 43.95, 37.52, 45.68, 61.74, 30.91, 34.34, 40.87, 39.75, 46.56,
        44.49, 40.35, 46.12, 48.37, 54.0, 51.26, 44.72,
      ],
    },
    expected: {
      shapiroWilk: { statistic: 0.983322491901782, p: 0.697792659113169 },
      andersonDarling: { statistic: 0.211294175281878, p: 0.849440253429709 },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        80.62, 23.27, 22.57, 113.52, 46.04, 8.32, 47.24, 37.09, 109.28, 44.59, 118.52, 29.85, 71.42, 55.87,
        56.4,
      ],
    },
    expected: {
      shapiroWilk: { statistic: 0.92118073278891, p: 0.20078456518143 },
      andersonDarling: { statistic: 0.477921232564068, p: 0.201052405793656 },
    },
    relative: 1e-6,
  },
] as const;

describe("normality", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(normality(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("as published: the weights of eleven men", () => {
    // Shapiro and Wilk (1965), Biometrika 52: W = 0.79; by Royston's algorithm W = 0.788815, p = 0.0067038.
    const values = [148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236];
    const got = givenBy(normality({ values }));
    const shapiroWilk = { statistic: 0.788814694835387, p: 0.00670381405650293 };
    expect(disagreements(got, { shapiroWilk }, 2e-5)).toEqual([]);
    const andersonDarling = { statistic: 0.946771879599 };
    expect(disagreements(got, { andersonDarling }, 1e-6)).toEqual([]);
  });

  it("as published: twenty values of SciPy's test suite", () => {
    const values = [
      0.11, 7.87, 4.61, 10.14, 7.95, 3.14, 0.46, 4.43, 0.21, 4.75, 0.71, 1.52, 3.24, 0.93, 0.42, 4.97, 9.53,
      4.55, 0.47, 6.66,
    ];
    const expected = { shapiroWilk: { statistic: 0.9004729986190796, p: 0.04208974540233612 } };
    expect(disagreements(givenBy(normality({ values })), expected, 1e-5)).toEqual([]);
  });

  it("takes three to five values, by the closed form and by the algorithm", () => {
    // For n = 3, W is the squared range over twice the sum of squares: (4 − 1)² / (2 · 14/3) for 1, 2, 4.
    expect(givenBy(normality({ values: [1, 2, 4] })).shapiroWilk?.statistic).toBeCloseTo(9 / (28 / 3), 12);
    // R 4.2.2 documents p = 1 for three evenly spaced values (W = 1).
    expect(givenBy(normality({ values: [1, 2, 3] })).shapiroWilk?.p).toBeCloseTo(1, 6);
    expect(givenBy(normality({ values: [1, 2, 3, 5, 9] })).andersonDarling).toBeUndefined();
  });

  it("refuses, or leaves out what it cannot give", () => {
    expect(codeOf(normality({ values: [1, 2] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(normality({ values: [2, 2, 2] }))).toBe("STAT_DEGENERATE");
    const many = givenBy(normality({ values: Array.from({ length: 6000 }, (_, i) => Math.sin(i)) }));
    expect(many.shapiroWilk).toBeUndefined();
    expect(many.andersonDarling?.p).toBeLessThan(1e-6);
  });
});
