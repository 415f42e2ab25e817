import { describe, expect, it } from "vitest";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { gearBatches } from "../test-data/gear.ts";
import { equalSpread } from "./equal-spread.ts";

// One-way F on |x − median|, R 4.2.2, car 3.1.1, leveneTest(center = median).
const computed = [
  {
    input: {
      groups: [
        [53.06, 47.97, 51.93, 53.88, 56.09],
        [53.74, 50.65, 54.64, 59.59, 54.55, 52.1],
        [52.94, 49.8, 51.91, 50.47, 49.61],
      ],
    },
    expected: { statistic: 0.479350625754379, p: 0.6297079976080797 },
    relative: 1e-9,
  },
  {
    input: {
      groups: [
        [49.36, 50.89, 49.94, 50.62, 50.06, 51.01, 49.73, 52.23],
        [48.1, 51.03, 51.64, 49.05, 47.23, 46.5, 46.39, 52.26, 46.17, 52.03],
      ],
    },
    expected: { statistic: 11.321909448469931, p: 0.003942270747637839 },
    relative: 1e-9,
  },
  {
    input: {
      groups: [
        [53.06, 59.18, 58.05, 51.07, 50.45, 48.94, 51.06, 53.53, 51.86, 53.51, 52.91, 55.13],
        [57.83, 57.34, 57.16, 45.66, 52.84, 51.41, 49.78, 45.03, 54.71],
        [54.36, 51.78, 56.38, 53.02, 52.36, 58.32, 46.88, 49.99, 51.62, 48.8],
        [56.6, 52.46, 51.14, 53.32, 51.16, 50.7, 53.47],
      ],
    },
    expected: { statistic: 1.9860072200836645, p: 0.13459165768889825 },
    relative: 1e-9,
  },
  {
    input: {
      groups: [
        [48.8, 46.8, 50.5, 54.4, 45.0, 46.8, 44.9, 47.1, 47.0, 47.1, 48.3, 49.3, 52.4, 47.1, 47.2],
        [46.1, 48.2, 47.5, 51.3, 52.3, 51.1, 51.3, 48.3, 51.6, 49.1, 49.9, 52.5, 49.2, 48.1, 52.2],
        [51.8, 52.1, 45.2, 48.1, 51.1, 49.5, 39.6, 50.3, 46.8, 44.4, 46.6, 51.4],
      ],
    },
    expected: { statistic: 1.8802683391969306, p: 0.1661186773252876 },
    relative: 1e-9,
  },
] as const;

describe("equalSpread", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(equalSpread(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("as published: the gear diameters", () => {
    // NIST/SEMATECH e-Handbook 1.3.5.10 and 1.3.5.7.
    const expected = { statistic: 1.70591, df1: 9, df2: 90, bartlett: { statistic: 20.78587, df: 9 } };
    expect(disagreements(givenBy(equalSpread({ groups: gearBatches })), expected, 0, 1e-5)).toEqual([]);
  });

  it.each([
    // Dobson (1983), plant growth: F = 1.1192, p = 0.3412.
    [
      [
        [4.17, 5.58, 5.18, 6.11, 4.5, 4.61, 5.17, 4.53, 5.33, 5.14],
        [4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69],
        [6.31, 5.12, 5.54, 5.5, 5.37, 5.29, 4.92, 6.15, 5.8, 5.26],
      ],
      1.1192,
      0.3412,
      6e-5,
    ],
    // Aldrin at three depths: Jaffe, Parker and Wilson (1982).
    [
      [
        [4.81, 5.71, 4.9, 5.35, 5.26, 6.26, 3.76, 8.07, 8.79, 7.3],
        [5.17, 6.17, 6.26, 4.26, 3.17, 3.76, 4.76, 4.9, 6.57, 5.17],
        [3.08, 3.58, 3.81, 4.31, 4.35, 4.4, 3.67, 5.17, 5.17, 4.35],
      ],
      2.110639504465904,
      0.14071049672008673,
      1.4e-7,
    ],
  ])("as published, %#", (groups, statistic, p, tolerance) => {
    expect(disagreements(givenBy(equalSpread({ groups })), { statistic, p }, 0, tolerance)).toEqual([]);
  });

  it("refuses", () => {
    expect(codeOf(equalSpread({ groups: [[1, 2]] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(equalSpread({ groups: [[1, 2], [3]] }))).toBe("STAT_TOO_FEW");
    expect(
      codeOf(
        equalSpread({
          groups: [
            [2, 2],
            [3, 3],
          ],
        }),
      ),
    ).toBe("STAT_DEGENERATE");
    expect(
      codeOf(
        equalSpread({
          groups: [
            [2, Number.NaN],
            [3, 3],
          ],
        }),
      ),
    ).toBe("STAT_VALUE");
  });
});
