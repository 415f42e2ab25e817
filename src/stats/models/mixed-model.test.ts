import { describe, expect, it } from "vitest";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { mixedModel } from "./mixed-model.ts";

// R 4.2.2, lme4 1.1.31, lmerTest 3.1.3: lmer(response ~ fixed + (1 | group)), REML.
const computed = [
  {
    input: {
      response: [
        50.73, 52.29, 52.38, 52.56, 57.5, 56.79, 53.58, 54.59, 58.54, 57.63, 53.19, 56.75, 52.83, 49.62,
        50.58, 50.28, 51.18, 49.57, 51.18, 51.48,
      ],
      fixed: {},
      group: [
        "b1",
        "b1",
        "b1",
        "b1",
        "b2",
        "b2",
        "b2",
        "b2",
        "b3",
        "b3",
        "b3",
        "b3",
        "b4",
        "b4",
        "b4",
        "b4",
        "b5",
        "b5",
        "b5",
        "b5",
      ],
    },
    expected: {
      fixed: { intercept: 53.1625 },
      groupSd: 2.6003186102860547,
      residualSd: 1.56666365247937,
      satterthwaiteDf: { intercept: 4.0 },
    },
    relative: 1e-5,
  },
  {
    input: {
      response: [
        54.15, 48.68, 56.35, 51.08, 52.09, 48.42, 46.45, 44.86, 47.02, 50.78, 57.16, 52.1, 55.46, 56.49,
        52.29, 54.87, 53.9, 52.47, 51.79, 53.59, 53.0, 50.1, 54.59, 49.71, 53.36, 50.99, 53.75, 51.25,
      ],
      fixed: {
        cycles: [
          2.7, 0.1, 9.9, 0.4, 2.5, 9.4, 5.2, 7.6, 7.1, 1.2, 4.9, 0.6, 8.8, 4.8, 3.0, 8.8, 2.0, 1.8, 2.2, 0.2,
          4.5, 0.3, 4.7, 3.2, 4.8, 4.3, 7.9, 1.3,
        ],
      },
      group: [
        "b1",
        "b1",
        "b1",
        "b1",
        "b1",
        "b2",
        "b2",
        "b2",
        "b2",
        "b3",
        "b3",
        "b3",
        "b3",
        "b3",
        "b4",
        "b4",
        "b4",
        "b4",
        "b4",
        "b5",
        "b5",
        "b5",
        "b5",
        "b6",
        "b6",
        "b6",
        "b6",
        "b6",
      ],
    },
    expected: {
      fixed: { intercept: 49.78164429042707, cycles: 0.5085979864654425 },
      groupSd: 3.3731546818392117,
      residualSd: 1.4877010207173513,
      satterthwaiteDf: { intercept: 5.804329900594057, cycles: 21.443297271669632 },
    },
    relative: 1e-5,
  },
  {
    input: {
      response: [
        48.74, 53.36, 54.45, 49.06, 51.49, 52.14, 50.96, 54.29, 53.9, 53.99, 50.76, 56.64, 57.44, 55.16,
        53.43, 51.3, 53.46, 51.18, 50.44, 50.81, 50.84,
      ],
      fixed: {
        cycles: [
          3.7, 0.0, 7.9, 1.9, 5.8, 6.5, 2.4, 8.7, 8.4, 4.4, 6.1, 4.1, 4.4, 8.3, 3.1, 2.2, 9.7, 6.2, 3.0, 2.6,
          1.3,
        ],
      },
      group: [
        "b1",
        "b1",
        "b1",
        "b2",
        "b2",
        "b3",
        "b3",
        "b3",
        "b4",
        "b4",
        "b4",
        "b5",
        "b5",
        "b6",
        "b6",
        "b6",
        "b7",
        "b7",
        "b7",
        "b8",
        "b8",
      ],
    },
    expected: {
      fixed: { intercept: 50.8788852329607, cycles: 0.3637312901750533 },
      groupSd: 1.6449784295152343,
      residualSd: 1.6201340889070246,
      satterthwaiteDf: { intercept: 16.49769628948658, cycles: 13.59346848126408 },
    },
    relative: 1e-5,
  },
  {
    input: {
      response: [
        58.46, 65.47, 62.48, 61.61, 59.52, 60.85, 51.85, 53.09, 52.19, 52.17, 52.06, 57.57, 59.1, 57.19,
        55.69, 54.23, 57.24, 53.31, 53.62, 54.34, 59.55, 50.03, 53.35,
      ],
      fixed: {
        cycles: [
          1.4, 7.3, 8.4, 9.6, 6.1, 4.8, 0.6, 7.5, 7.3, 9.3, 7.2, 3.5, 2.8, 2.7, 5.3, 1.2, 3.7, 2.2, 2.0, 6.1,
          8.9, 1.7, 3.4,
        ],
      },
      group: [
        "b1",
        "b1",
        "b1",
        "b1",
        "b1",
        "b1",
        "b2",
        "b2",
        "b2",
        "b2",
        "b2",
        "b3",
        "b3",
        "b3",
        "b3",
        "b3",
        "b3",
        "b4",
        "b4",
        "b4",
        "b4",
        "b4",
        "b4",
      ],
    },
    expected: {
      fixed: { intercept: 53.73553953927814, cycles: 0.48401032136645483 },
      groupSd: 3.8997535848312177,
      residualSd: 1.8305118003798742,
      satterthwaiteDf: { intercept: 3.9301156865836924, cycles: 18.425877148560765 },
    },
    relative: 1e-5,
  },
] as const;

/** Six batches of five: A to F. */
const batches = ["A", "B", "C", "D", "E", "F"].flatMap((batch) => new Array<string>(5).fill(batch));

describe("mixedModel", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(mixedModel(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("as published: dyestuff", () => {
    // Davies (1947); Bates, Maechler, Bolker and Walker (2015), J. Stat. Softw. 67(1).
    const got = givenBy(
      mixedModel({
        response: [
          1545, 1440, 1440, 1520, 1580, 1540, 1555, 1490, 1560, 1495, 1595, 1550, 1605, 1510, 1560, 1445,
          1440, 1595, 1465, 1545, 1595, 1630, 1515, 1635, 1625, 1520, 1455, 1450, 1480, 1445,
        ],
        fixed: {},
        group: batches,
      }),
    );
    const expected = {
      fixed: { intercept: 1527.5 },
      standardErrors: { intercept: 19.3834 },
      groupSd: Math.sqrt(1764.05),
      residualSd: Math.sqrt(2451.25),
      remlCriterion: 319.6543,
    };
    expect(disagreements(got, expected, 2e-5)).toEqual([]);
  });

  it("as published: no scatter between batches", () => {
    // Box and Tiao (1973), made up so that the variance between batches comes out as 0.
    const answer = mixedModel({
      response: [
        7.298, 3.846, 2.434, 9.566, 7.99, 5.22, 6.556, 0.608, 11.788, -0.892, 0.11, 10.386, 13.434, 5.51,
        8.166, 2.212, 4.852, 7.092, 9.288, 4.98, 0.282, 9.014, 4.458, 9.446, 7.198, 1.722, 4.782, 8.106,
        0.758, 3.758,
      ],
      fixed: {},
      group: batches,
    });
    const expected = {
      fixed: { intercept: 5.6656 },
      standardErrors: { intercept: 0.67839 },
      groupSd: 0,
      residualSd: Math.sqrt(13.80631),
      remlCriterion: 161.8283,
    };
    expect(disagreements(givenBy(answer), expected, 2e-5)).toEqual([]);
    expect(answer.ok && answer.warnings[0]?.code).toBe("STAT_DEGENERATE");
  });

  it("as published: rails", () => {
    // Pinheiro and Bates (2000), 1.1.
    const got = givenBy(
      mixedModel({
        response: [55, 53, 54, 26, 37, 32, 78, 91, 85, 92, 100, 96, 49, 51, 50, 80, 85, 83],
        fixed: {},
        group: ["1", "1", "1", "2", "2", "2", "3", "3", "3", "4", "4", "4", "5", "5", "5", "6", "6", "6"],
      }),
    );
    const expected = {
      fixed: { intercept: 66.5 },
      standardErrors: { intercept: 10.17104 },
      groupSd: 24.80547,
      residualSd: 4.020779,
      satterthwaiteDf: { intercept: 5 },
    };
    expect(disagreements(got, expected, 2e-5)).toEqual([]);
  });

  it("is the analysis of variance where groups are of one size", () => {
    // Algebra: mean squares 10 within, and between 3 · group variance + within.
    const response = [1, 5, 9, 21, 25, 29, 11, 15, 19];
    const group = [1, 1, 1, 2, 2, 2, 3, 3, 3];
    const got = givenBy(mixedModel({ response, fixed: {}, group }));
    expect(got.residualSd).toBeCloseTo(4, 7);
    expect(got.groupSd).toBeCloseTo(Math.sqrt((300 - 16) / 3), 4);
    expect(got.satterthwaiteDf?.["intercept"]).toBeCloseTo(2, 4);
  });

  it("refuses", () => {
    expect(codeOf(mixedModel({ response: [1, 2, 3], fixed: {}, group: ["a", "a", "a"] }))).toBe(
      "STAT_TOO_FEW",
    );
    expect(codeOf(mixedModel({ response: [1, 2, 3], fixed: {}, group: ["a", "b", "c"] }))).toBe(
      "STAT_DEGENERATE",
    );
    expect(codeOf(mixedModel({ response: [1, 2, 3], fixed: {}, group: ["a", "b"] }))).toBe("INPUT_FIELD");
    expect(codeOf(mixedModel({ response: [4, 4, 4], fixed: {}, group: ["a", "a", "b"] }))).toBe(
      "STAT_DEGENERATE",
    );
    expect(
      codeOf(mixedModel({ response: [1, 2, 4, 3], fixed: { x: [2, 2, 2, 2] }, group: ["a", "a", "b", "b"] })),
    ).toBe("STAT_DEGENERATE");
    expect(codeOf(mixedModel({ response: [1, 2], fixed: { x: [1, 2] }, group: ["a", "a"] }))).toBe(
      "STAT_TOO_FEW",
    );
  });
});
