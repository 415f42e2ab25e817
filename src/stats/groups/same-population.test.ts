import { describe, expect, it } from "vitest";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { samePopulation } from "./same-population.ts";

// R 4.2.2, kSamples 1.2.9, ad.test; SciPy 1.10.1, anderson_ksamp.
const computed = [
  {
    input: {
      groups: [
        [53.06, 47.97, 51.93, 53.88, 56.09],
        [53.74, 50.65, 54.64, 59.59, 54.55, 52.1],
        [52.94, 49.8, 51.91, 50.47, 49.61],
      ],
    },
    expected: {
      statistic: 3.1506611906611908,
      statisticMidrank: 3.1465511989910246,
      normalised: 1.2394448102318554,
      normalisedMidrank: 1.235017696597514,
    },
    relative: 1e-9,
  },
  {
    input: {
      groups: [
        [49.36, 50.89, 49.94, 50.62, 50.06, 51.01, 49.73, 52.23],
        [48.1, 51.03, 51.64, 49.05, 47.23, 46.5, 46.39, 52.26, 46.17, 52.03],
      ],
    },
    expected: {
      statistic: 1.8813357414644178,
      statisticMidrank: 1.8934248455243836,
      normalised: 1.2781740668392747,
      normalisedMidrank: 1.2957065219228443,
    },
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
    expected: {
      statistic: 1.8103348078501975,
      statisticMidrank: 1.813661387813182,
      normalised: -0.9736999580707808,
      normalisedMidrank: -0.9709772670213571,
    },
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
    expected: {
      statistic: 3.5198643962299943,
      statisticMidrank: 3.533565779748871,
      normalised: 1.4931109912083562,
      normalisedMidrank: 1.5065711961960786,
    },
    relative: 1e-9,
  },
] as const;

describe("samePopulation", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(samePopulation(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("as published: the smoothness of paper in four laboratories", () => {
    // Scholz and Stephens (1987): 4.449 and, with midranks, 4.480; p about 0.0023.
    const groups = [
      [38.7, 41.5, 43.8, 44.5, 45.5, 46.0, 47.7, 58.0],
      [39.2, 39.3, 39.7, 41.4, 41.8, 42.9, 43.3, 45.8],
      [34.0, 35.0, 39.0, 40.0, 43.0, 43.0, 44.0, 45.0],
      [34.0, 34.8, 34.8, 35.4, 37.2, 37.8, 41.2, 42.8],
    ];
    const got = givenBy(samePopulation({ groups }));
    expect(disagreements(got, { normalised: 4.449, normalisedMidrank: 4.48 }, 0, 6e-4)).toEqual([]);
    const values = [0.4985, 1.3237, 1.9158, 2.493, 3.2459];
    expect(
      disagreements(
        got.quantiles.map(({ value }) => value),
        values,
        0,
        6e-4,
      ),
    ).toEqual([]);
    // Three errors of 9999 random regroupings.
    expect(Math.abs(got.p - 0.0023)).toBeLessThan(3 * Math.sqrt(0.0023 / 9999));
  });

  it("gives the same p for the same seed", () => {
    const groups = [
      [1, 2, 3, 4],
      [2, 3, 4, 9],
    ];
    expect(givenBy(samePopulation({ groups, seed: 3 })).p).toBe(
      givenBy(samePopulation({ groups, seed: 3 })).p,
    );
  });

  it("refuses", () => {
    expect(codeOf(samePopulation({ groups: [[1, 2]] }))).toBe("STAT_TOO_FEW");
    expect(
      codeOf(
        samePopulation({
          groups: [
            [1, 1],
            [1, 1],
          ],
        }),
      ),
    ).toBe("STAT_DEGENERATE");
  });

  it("names its limit for a million values", () => {
    const many = Array.from({ length: 500_000 }, (_, i) => i % 977);
    const answer = samePopulation({ groups: [many, many] });
    expect(answer.ok ? "" : answer.problems[0]?.expected).toBe("100000 or fewer");
  });
});
