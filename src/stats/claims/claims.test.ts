import { describe, expect, it } from "vitest";
import { studentTQuantile } from "../distributions/student-t.ts";
import { createRandom } from "../random/random.ts";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { bootstrap } from "./bootstrap.ts";
import { claim } from "./claim.ts";
import { pool } from "./pool.ts";

// R 4.2.2, metafor 3.8.1: rma(method = "DL"); rma(method = "REML", test = "knha").
const pools = [
  {
    input: { estimates: [50.86, 47.77], standardErrors: [1.0, 0.87] },
    expected: {
      dl: { mean: 49.275663430420714, tau2: 3.8956, interval: [46.24850071595916, 52.30282614488226] },
      reml: {
        mean: 49.275663430420714,
        tau2: 3.8956,
        hartungKnapp: { interval: [29.650940974773583, 68.90038588606784] },
        predictionInterval: [17.43127376503277, 81.12005309580866],
      },
    },
    relative: 1e-6,
  },
  {
    input: { estimates: [50.74, 50.74, 53.69, 50.64], standardErrors: [0.65, 0.8, 0.81, 1.06] },
    expected: {
      dl: {
        mean: 51.46572962787561,
        tau2: 1.5728913976739225,
        interval: [49.993585542422665, 52.93787371332855],
      },
      reml: {
        mean: 51.46571282957116,
        tau2: 1.5810365935614674,
        hartungKnapp: { interval: [49.085573348830984, 53.845852310311344] },
        predictionInterval: [46.809776144170776, 56.121649514971544],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      estimates: [49.34, 50.69, 49.1, 49.25, 50.25, 50.31],
      standardErrors: [0.69, 0.95, 1.49, 0.69, 0.46, 1.02],
    },
    expected: {
      dl: { mean: 49.90189254772653, tau2: 0.0, interval: [49.32257725537819, 50.48120784007487] },
      reml: {
        mean: 49.90189254772653,
        tau2: 0.0,
        hartungKnapp: { interval: [49.287784016274856, 50.51600107917822] },
        predictionInterval: [49.287784016274856, 50.51600107917822],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      estimates: [55.5, 49.41, 42.9, 50.42, 47.83, 47.78, 50.73, 53.93],
      standardErrors: [0.92, 1.0, 0.95, 0.56, 0.59, 0.64, 1.09, 1.3],
    },
    expected: {
      dl: {
        mean: 49.760060166973005,
        tau2: 10.343047168904192,
        interval: [47.44483399298987, 52.07528634095615],
      },
      reml: {
        mean: 49.772893372355135,
        tau2: 14.115934167213283,
        hartungKnapp: { interval: [46.52700671733152, 53.01878002737876] },
        predictionInterval: [40.31433693151816, 59.231449813192114],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      estimates: [51.87, 49.89, 52.17, 46.25, 50.27, 49.58, 48.99, 49.29, 50.79, 52.95, 52.88, 49.58],
      standardErrors: [1.48, 0.82, 1.25, 1.42, 0.53, 0.78, 0.57, 0.63, 0.46, 1.47, 1.41, 0.63],
    },
    expected: {
      dl: {
        mean: 50.14679184461517,
        tau2: 0.8897364658739636,
        interval: [49.416327790108305, 50.87725589912204],
      },
      reml: {
        mean: 50.151118647792565,
        tau2: 0.9354364426858852,
        hartungKnapp: { interval: [49.16869738575836, 51.13353990982677] },
        predictionInterval: [47.80661024152858, 52.49562705405655],
      },
    },
    relative: 1e-6,
  },
] as const;

// R 4.2.2, boot 1.3.28.1: a million resamples, boot.ci(type = "bca"); room for 10 000 resamples here.
const resampled = [
  {
    input: {
      values: [55.82, 55.27, 58.74, 52.75, 57.05, 52.76, 51.87, 53.46, 44.31, 55.93],
      statistic: "mean",
      confidence: 0.95,
    },
    expected: { interval: [50.541, 55.557] },
    relative: 0,
    absolute: 0.4,
  },
  {
    input: {
      values: [
        20.28, 27.24, 20.52, 13.14, 20.31, 15.03, 14.65, 28.0, 17.08, 27.47, 22.71, 24.6, 11.85, 18.21, 9.34,
        32.74, 15.28, 16.16, 24.07, 21.63,
      ],
      statistic: "mean",
      confidence: 0.95,
    },
    expected: { interval: [17.5, 22.7235] },
    relative: 0,
    absolute: 0.22,
  },
  {
    input: {
      values: [
        54.53, 55.22, 52.28, 57.24, 48.28, 50.64, 51.84, 51.75, 51.26, 47.52, 56.04, 55.68, 47.91, 50.09,
        54.18,
      ],
      statistic: "cv",
      confidence: 0.95,
    },
    expected: { interval: [0.0468224372327617, 0.0754587792708287] },
    relative: 0,
    absolute: 0.0019,
  },
] as const;

/** BCG vaccine, thirteen trials, log relative risks with their variances: Colditz et al. (1994). */
const trials = {
  estimates: [
    -0.8893113339202054, -1.5853886572014306, -1.348073148299693, -1.4415511900213054, -0.2175473222112957,
    -0.786115585818864, -1.6208982235983924, 0.011952333523841173, -0.4694176487381487, -1.3713448034727846,
    -0.33935882833839015, 0.4459134005713783, -0.017313948216879493,
  ],
  variances: [
    0.32558476500396133, 0.19458112139814385, 0.4153679653679654, 0.020010031902247573, 0.05121017216963086,
    0.0069056184559087574, 0.22301724757231517, 0.0039615792978177295, 0.056434210463248966,
    0.07302479361302891, 0.01241221397155972, 0.5325058452001528, 0.0714046596839863,
  ],
};

/**
 * Thirteen trials of a medicine against a dummy, better of how many, as in Hartung and Knapp (2001); log odds ratios with half
 * a case added to each count.
 */
const counts = [
  [15, 16, 9, 16],
  [12, 16, 1, 16],
  [29, 34, 18, 34],
  [42, 56, 31, 56],
  [14, 22, 6, 22],
  [44, 54, 17, 55],
  [14, 17, 7, 15],
  [29, 58, 23, 58],
  [10, 14, 3, 15],
  [17, 26, 6, 27],
  [38, 44, 12, 45],
  [19, 29, 22, 30],
  [21, 38, 19, 38],
].map(([a = 0, n = 0, b = 0, m = 0]) => [a + 0.5, n - a + 0.5, b + 0.5, m - b + 0.5] as const);
const odds = {
  estimates: counts.map(([a, b, c, d]) => Math.log((a * d) / (b * c))),
  variances: counts.map(([a, b, c, d]) => 1 / a + 1 / b + 1 / c + 1 / d),
};

/** Length of stay, nine studies, differences of means with their variances: Normand (1999). */
const stays = {
  estimates: [-20, -2, -55, -71, -4, 1, 11, -10, 7],
  variances: [
    40.5080231596361, 2.08064516129032, 15.6984037558685, 150.222222222222, 17.3076923076923,
    1.16734143049933, 94.5891265597148, 6.31087928464978, 19.8423076923077,
  ],
};

function sources({ estimates, variances }: { estimates: readonly number[]; variances: readonly number[] }) {
  return { estimates, standardErrors: variances.map(Math.sqrt) };
}

describe("pool", () => {
  it.each(pools)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(pool(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("as published: the BCG trials", () => {
    // metafor's documentation and Viechtbauer (2010), J. Stat. Softw. 36(3).
    const got = givenBy(pool(sources(trials)));
    const expected = {
      reml: {
        mean: -0.7145,
        standardError: 0.1798,
        interval: [-1.0669, -0.3622],
        tau2: 0.3132,
        hartungKnapp: { standardError: 0.1808, interval: [-1.1084, -0.3206] },
      },
      dl: { mean: -0.7141, standardError: 0.1787, interval: [-1.0644, -0.3638], tau2: 0.3088 },
      fixed: { mean: -0.4303, standardError: 0.0405, interval: [-0.5097, -0.3509] },
      heterogeneity: { q: 152.233, df: 12 },
    };
    expect(disagreements(got, expected, 0, 6e-5)).toEqual([]);
  });

  it("as published: length of stay", () => {
    const got = givenBy(pool(sources(stays)));
    const expected = {
      reml: {
        mean: -15.1060274734783,
        standardError: 8.94655283975496,
        interval: [-32.6409488251826, 2.42889387822596],
        tau2: 684.646151929667,
      },
      pm: {
        mean: -15.1456800341113,
        standardError: 9.2142715953766,
        interval: [-33.2053205048199, 2.91396043659723],
        tau2: 728.251128607141,
      },
      heterogeneity: { q: 238.91581086201 },
    };
    expect(disagreements(got, expected, 1e-5)).toEqual([]);
  });

  it("foretells the next source by Student’s t where only the scatter between sources counts", () => {
    // Algebra: the mean of k values and the next lie apart by t at k − 1 times s √(1 + 1/k).
    for (const estimates of [
      [1, 2],
      [1, 2, 4],
      [1, 2, 4, 4.5, 7],
    ]) {
      const k = estimates.length;
      const { nextSource } = givenBy(pool({ estimates, standardErrors: estimates.map(() => 1e-7) }));
      const mean = estimates.reduce((sum, value) => sum + value, 0) / k;
      const squares = estimates.reduce((sum, value) => sum + (value - mean) ** 2, 0);
      const half = studentTQuantile(0.975, k - 1) * Math.sqrt((squares / (k - 1)) * (1 + 1 / k));
      expect(disagreements(nextSource.interval, [mean - half, mean + half], 1e-9)).toEqual([]);
    }
  });

  it("foretells the next of sources that agree from their standard errors alone", () => {
    const { nextSource } = givenBy(pool({ estimates: [3, 3], standardErrors: [1, 1] }));
    const half = 1.959963984540054 * Math.SQRT1_2;
    expect(disagreements(nextSource.interval, [3 - half, 3 + half], 1e-9)).toEqual([]);
  });

  it("foretells the next as a plain drawing by chance does", () => {
    // A second, naive implementation: 20 000 draws of chi-squared, τ² by halving, one normal next value of each.
    const estimates = [0.84, 0.9, 0.81, 0.87];
    const standardErrors = [0.03, 0.01, 0.025, 0.02];
    const random = createRandom(4);
    const qAt = (tau2: number) => {
      const weights = standardErrors.map((se) => 1 / (se * se + tau2));
      const total = weights.reduce((sum, w) => sum + w, 0);
      const mean = weights.reduce((sum, w, i) => sum + w * (estimates[i] ?? 0), 0) / total;
      return {
        mean,
        total,
        q: weights.reduce((sum, w, i) => sum + w * ((estimates[i] ?? 0) - mean) ** 2, 0),
      };
    };
    const drawn = Array.from({ length: 20_000 }, () => {
      const wanted = random.normal() ** 2 + random.normal() ** 2 + random.normal() ** 2;
      let [low, high] = [0, 1000];
      for (let round = 0; round < 60; round++) {
        const middle = (low + high) / 2;
        if (qAt(middle).q > wanted) low = middle;
        else high = middle;
      }
      const { mean, total } = qAt(high);
      return mean + random.normal() * Math.sqrt(high + 1 / total);
    });
    const { nextSource } = givenBy(pool({ estimates, standardErrors }));
    // The share outside is 2.5 % on either side, ± 0.11 % by chance: here four of that.
    const outside = (limit: number, above: boolean) =>
      drawn.filter((value) => (above ? value > limit : value < limit)).length / 20_000;
    expect(Math.abs(outside(nextSource.interval[0], false) - 0.025)).toBeLessThan(0.0044);
    expect(Math.abs(outside(nextSource.interval[1], true) - 0.025)).toBeLessThan(0.0044);
  });

  it("foretells the next of thirteen trials much as is published", () => {
    // pimeta 1.1.4, vignette: odds ratio 4.141, next from 0.533 to 33.692, by 25 000 draws of the DerSimonian-Laird Q with
    // Student's t for the mean, which is a little wider.
    const got = givenBy(pool(sources(odds)));
    expect(Math.exp(got.dl.mean)).toBeCloseTo(4.141, 3);
    const [low, high] = got.nextSource.interval;
    expect((high - low) / Math.log(33.692 / 0.533)).toBeGreaterThan(0.95);
    expect((high - low) / Math.log(33.692 / 0.533)).toBeLessThan(1);
    expect(low).toBeGreaterThan(Math.log(0.533));
    expect(high).toBeLessThan(Math.log(33.692));
  });

  it("refuses", () => {
    expect(codeOf(pool({ estimates: [1], standardErrors: [1] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(pool({ estimates: [1, 2], standardErrors: [1] }))).toBe("INPUT_FIELD");
    expect(codeOf(pool({ estimates: [1, 2], standardErrors: [1, 0] }))).toBe("STAT_VALUE");
    expect(codeOf(pool({ estimates: [1, Number.NaN], standardErrors: [1, 1] }))).toBe("STAT_VALUE");
    expect(givenBy(pool({ estimates: [3, 3, 3], standardErrors: [1, 2, 1] })).reml.tau2).toBe(0);
  });
});

describe("claim", () => {
  const values = [48.1, 50.3, 49.2, 51.0, 49.9];

  it("of a mean: supported, contradicted, undecided", () => {
    const verdict = (claimed: number, margin = 0.05) =>
      givenBy(claim({ values, claimed, kind: "mean", margin })).verdict;
    expect(verdict(50)).toBe("supported");
    expect(verdict(60)).toBe("contradicted");
    expect(verdict(50, 0.01)).toBe("undecided");
  });

  it("has the two tests right", () => {
    // By hand: mean 49.7, sd 1.10680, standard error 0.494975, t(0.975; 4) = 2.776445; claimed 50 and 5 % of it.
    const got = givenBy(claim({ values, claimed: 50, kind: "mean" })).mean;
    expect(
      disagreements(
        got,
        { difference: -0.3, interval: [49.7 - 1.374271, 49.7 + 1.374271], margin: 2.5 },
        1e-6,
      ),
    ).toEqual([]);
    // (2.5 − 0.3)/0.494975 = 4.44467 with 4 degrees of freedom: one-sided p = 0.00565 (R 4.2.2, pt, from memory of its table:
    // between 0.005, t = 4.604, and 0.01, t = 3.747).
    expect(got?.equivalenceP).toBeGreaterThan(0.005);
    expect(got?.equivalenceP).toBeLessThan(0.01);
  });

  it("of a least value holds what its interval promises", () => {
    // Simulation with known truth: 90 % of the population lie above −1.28155; three errors.
    const random = createRandom(31);
    let holds = 0;
    for (let i = 0; i < 500; i++) {
      const drawn = Array.from({ length: 8 }, () => random.normal());
      const [low, high] = givenBy(claim({ values: drawn, claimed: -1.2815515655446004, kind: "least" })).least
        ?.interval ?? [1, 0];
      if (low <= 0.9 && 0.9 <= high) holds += 1;
    }
    expect(Math.abs(holds / 500 - 0.95)).toBeLessThan(3 * Math.sqrt((0.95 * 0.05) / 500));
  });

  it("of a least value: the lower end meets the tolerance bound", () => {
    // Algebra: where the figure is mean − k·sd, k = 3.406633 (n = 5, 90/95, one side), the one-sided 95 % limit is 90 %.
    const mean = 49.7;
    const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 4);
    const got = givenBy(
      claim({ values, claimed: mean - 3.406633262800808 * sd, kind: "least", confidence: 0.9 }),
    );
    expect(got.least?.interval[0]).toBeCloseTo(0.9, 9);
    expect(givenBy(claim({ values, claimed: 20, kind: "least" })).verdict).toBe("supported");
    expect(givenBy(claim({ values, claimed: 52, kind: "least" })).verdict).toBe("contradicted");
    expect(givenBy(claim({ values, claimed: 47, kind: "least" })).verdict).toBe("undecided");
  });

  it("refuses", () => {
    expect(codeOf(claim({ values: [5], claimed: 4, kind: "mean" }))).toBe("STAT_TOO_FEW");
    expect(codeOf(claim({ values: [5, 5], claimed: 4, kind: "mean" }))).toBe("STAT_DEGENERATE");
    expect(codeOf(claim({ values, claimed: 0, kind: "mean" }))).toBe("STAT_VALUE");
    expect(codeOf(claim({ values, claimed: 4, kind: "most" as "mean" }))).toBe("INPUT_FIELD");
  });
});

describe("bootstrap", () => {
  it.each(resampled)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(bootstrap(row.input)), row.expected, 0, row.absolute)).toEqual([]);
  });

  it("as published: fifteen law schools", () => {
    // Efron and Tibshirani (1993), table 3.1: correlation 0.776; Efron (1982): jackknife 0.1425 and −0.0065.
    const values = [
      576.0, 635.0, 558.0, 578.0, 666.0, 580.0, 555.0, 661.0, 651.0, 605.0, 653.0, 575.0, 545.0, 572.0, 594.0,
    ];
    const others = [3.39, 3.3, 2.81, 3.03, 3.44, 3.07, 3.0, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96];
    const got = givenBy(bootstrap({ values, others, statistic: "correlation", resamples: 2000 }));
    expect(disagreements(got, { estimate: 0.776 }, 0, 6e-4)).toEqual([]);
    expect(disagreements(got.jackknife, { standardError: 0.1425, bias: -0.0065 }, 0, 1e-4)).toEqual([]);
    // Efron and Tibshirani: bootstrap standard error about 0.13.
    expect(got.standardError).toBeCloseTo(0.133, 1);
  });

  it("gives percentiles, and the same numbers for the same seed", () => {
    const values = [3, 5, 8, 13, 21, 4, 7];
    const asked = { values, statistic: "median", interval: "percentile", seed: 4 } as const;
    expect(givenBy(bootstrap(asked))).toEqual(givenBy(bootstrap(asked)));
    const { interval } = givenBy(bootstrap(asked));
    expect(values).toContain(interval[0]);
  });

  it("refuses, and bounds its work", () => {
    expect(codeOf(bootstrap({ values: [1, 2], statistic: "mean" }))).toBe("STAT_TOO_FEW");
    expect(codeOf(bootstrap({ values: [2, 2, 2], statistic: "mean" }))).toBe("STAT_DEGENERATE");
    expect(codeOf(bootstrap({ values: [1, 2, 3], statistic: "mode" as "mean" }))).toBe("INPUT_UNKNOWN");
    expect(codeOf(bootstrap({ values: [1, 2, 3], statistic: "correlation" }))).toBe("INPUT_FIELD");
    expect(codeOf(bootstrap({ values: [1, 2, 3], statistic: "mean", resamples: 1e9 }))).toBe("STAT_VALUE");
    expect(codeOf(bootstrap({ values: [1, 2, 3], others: [4, 4, 4], statistic: "correlation" }))).toBe(
      "STAT_DEGENERATE",
    );
  });
});
