import { describe, expect, it } from "vitest";
import { summary } from "./summary.ts";
import { gearBatches } from "./test-data/gear.ts";
import { univariateSets } from "./test-data/strd.ts";

function summarised(values: readonly number[]) {
  const answer = summary(values);
  if (!answer.ok) throw new Error(answer.problems[0]?.message);
  return answer.value;
}

function digits(got: number | undefined, certified: number): number {
  return got === undefined ? 0 : Math.min(15, -Math.log10(Math.abs(got / certified - 1)));
}

// R 4.2.2: mean, sd, sd/mean, t.test(values)$conf.int.
const cases: readonly {
  readonly values: readonly number[];
  readonly mean: number;
  readonly sd: number;
  readonly cv: number;
  readonly meanInterval: readonly [number, number];
}[] = [
  {
    values: [52.47, 54.54],
    mean: 53.505,
    sd: 1.4637110370561535,
    cv: 0.027356528119916894,
    meanInterval: [40.35407809805918, 66.65592190194081],
  },
  {
    values: [53.52, 49.96, 47.76],
    mean: 50.413333333333334,
    sd: 2.906636085466038,
    cv: 0.05765609796613405,
    meanInterval: [43.19284901909279, 57.63381764757388],
  },
  {
    values: [50.7, 50.44, 55.1, 52.32, 56.1, 55.35, 45.1],
    mean: 52.15857142857143,
    sd: 3.857946036305798,
    cv: 0.0739657151382887,
    meanInterval: [48.59056643965357, 55.726576417489284],
  },
  {
    values: [
      55.45, 51.15, 51.49, 58.18, 51.21, 54.49, 56.75, 55.32, 52.96, 55.62, 59.08, 52.42, 53.81, 55.26, 49.06,
      56.02, 50.05, 55.39, 53.12, 56.28,
    ],
    mean: 54.1555,
    sd: 2.68001271599497,
    cv: 0.049487359843321,
    meanInterval: [52.90121543952578, 55.40978456047422],
  },
  {
    values: [
      48.73, 53.09, 46.56, 48.42, 44.28, 49.95, 48.59, 47.2, 50.96, 53.21, 49.57, 51.4, 51.15, 46.81, 47.61,
      51.89, 53.74, 48.33, 49.23, 50.22, 49.64, 46.25, 47.7, 50.11, 53.46, 49.11, 48.96, 46.58, 53.58, 55.35,
      46.94, 52.41, 46.09, 47.82, 48.14, 44.48, 54.57, 47.2, 46.93, 49.49, 49.19, 49.51, 54.7, 54.09, 48.0,
      50.12, 48.36, 49.67, 52.22, 49.58, 45.86, 50.35, 48.01, 47.88, 48.7, 46.88, 51.24, 49.18, 46.11, 50.5,
    ],
    mean: 49.431666666666665,
    sd: 2.605805231392938,
    cv: 0.052715301892705846,
    meanInterval: [48.75851579586297, 50.10481753747037],
  },
  {
    values: [50.1, 50.1, 50.2, 50.1],
    mean: 50.125,
    sd: 0.05,
    cv: 0.000997506234413965,
    meanInterval: [50.04543884236791, 50.20456115763209],
  },
];

describe("summary", () => {
  it.each(univariateSets)("NIST StRD $name to 12 digits", ({ values, mean, sd, autocorrelation }) => {
    const got = summarised(values);
    expect(digits(got.mean, mean)).toBeGreaterThan(12);
    expect(digits(got.sd, sd)).toBeGreaterThan(12);
    expect(digits(got.lag1Autocorrelation, autocorrelation)).toBeGreaterThan(12);
  });

  it("NIST e-Handbook 1.3.5.2: the interval of a mean of 195", () => {
    // The interval rests on n, mean and sd alone; these values have the handbook's: 97 pairs about the mean, and the mean.
    const [mean, sd] = [9.26146, 0.02278881];
    // 194 squares of sd over 194 degrees of freedom.
    const values = [mean, ...Array.from({ length: 194 }, (_, i) => mean + (i % 2 === 0 ? sd : -sd))];
    const got = summarised(values);
    expect(digits(got.sd, sd)).toBeGreaterThan(10);
    // Printed to six decimals, of a mean that is rounded to five.
    expect(Math.abs((got.meanInterval?.[0] ?? 0) - 9.258242)).toBeLessThan(1.1e-6);
    expect(Math.abs((got.meanInterval?.[1] ?? 0) - 9.264679)).toBeLessThan(1.1e-6);
  });

  it("NIST e-Handbook 1.3.5.8: the gear diameters", () => {
    const got = summarised(gearBatches.flat());
    expect(got.n).toBe(100);
    expect(digits(got.sd, 0.006278908)).toBeGreaterThan(6);
  });

  it.each(cases)("as R has it, n = $values.length", ({ values, mean, sd, cv, meanInterval }) => {
    const got = summarised(values);
    expect(digits(got.mean, mean)).toBeGreaterThan(13);
    expect(digits(got.sd, sd)).toBeGreaterThan(12);
    expect(digits(got.cv, cv)).toBeGreaterThan(12);
    expect(digits(got.meanInterval?.[0], meanInterval[0])).toBeGreaterThan(12);
    expect(digits(got.meanInterval?.[1], meanInterval[1])).toBeGreaterThan(12);
    expect(got.lowest).toBe(Math.min(...values));
    expect(got.highest).toBe(Math.max(...values));
  });

  it("gives of one value what there is, and says what is missing", () => {
    const answer = summary([41.2]);
    expect(answer.ok && answer.value).toEqual({ n: 1, mean: 41.2, lowest: 41.2, highest: 41.2 });
    expect(answer.ok && answer.warnings[0]?.code).toBe("STAT_TOO_FEW");
  });

  it("warns where all values are equal, and gives no CV about a mean of zero or less", () => {
    const equal = summary([0.1, 0.1, 0.1]);
    expect(equal.ok && equal.value.sd).toBe(0);
    expect(equal.ok && equal.warnings[0]?.code).toBe("STAT_DEGENERATE");
    const balanced = summary([-1, 1]);
    expect(balanced.ok && "cv" in balanced.value).toBe(false);
    expect(balanced.ok && balanced.warnings[0]?.code).toBe("STAT_DEGENERATE");
  });

  it("refuses nothing at all, and what is no number", () => {
    const codes = [[], [1, Number.NaN], [1, Number.POSITIVE_INFINITY]].map((values) => {
      const answer = summary(values);
      return answer.ok ? "" : answer.problems[0]?.code;
    });
    expect(codes).toEqual(["STAT_TOO_FEW", "STAT_VALUE", "STAT_VALUE"]);
    expect(summary([1, 2], { confidence: 1 }).ok).toBe(false);
  });

  it("keeps its feet at the ends of the range of numbers", () => {
    // Algebra: two values a and b have the mean (a + b)/2 and the sd |a − b|/√2.
    const mixed = summarised([1e-300, 1e300]);
    expect(mixed.mean).toBe(5e299);
    expect(digits(mixed.sd, 1e300 / Math.SQRT2)).toBeGreaterThan(14);
    const tiny = summarised([1e-300, 3e-300]);
    expect(digits(tiny.sd, 2e-300 / Math.SQRT2)).toBeGreaterThan(14);
    const answer = summary([1.7e308, -1.7e308, 1.7e308]);
    expect(answer.ok ? "" : answer.problems[0]?.code).toBe("STAT_VALUE");
  });

  it("takes a million values", () => {
    // 0, 1, …, n − 1: mean (n − 1)/2, variance n(n + 1)/12.
    const got = summarised(Array.from({ length: 1_000_000 }, (_, i) => i));
    expect(got.mean).toBe(499999.5);
    expect(digits(got.sd, Math.sqrt((1e6 * (1e6 + 1)) / 12))).toBeGreaterThan(13);
  });
});
