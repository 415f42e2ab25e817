import { describe, expect, it } from "vitest";
import { hansonKoopmansFactor } from "./bounds/hanson-koopmans.ts";
import { distributionFreeOrder } from "./bounds/order-statistic.ts";
import { weibullQuantile } from "./distributions/weibull.ts";
import { type LowerBoundInput, type LowerBoundMethod, lowerBound, lowerBoundMethods } from "./lower-bound.ts";
import { createRandom } from "./random/random.ts";
import { summary } from "./summary.ts";
import { oneSidedFactor } from "./tolerance-factor.ts";

function bounded(input: LowerBoundInput) {
  const answer = lowerBound(input);
  if (!answer.ok) throw new Error(answer.problems[0]?.message);
  return answer.value;
}

function codeOf(input: LowerBoundInput): string | undefined {
  const answer = lowerBound(input);
  return answer.ok ? "given" : answer.problems[0]?.code;
}

// Made up by a seeded generator for the reference values; none is a measurement.
const sample1 = [50.27, 52.56, 54.72, 57.06, 53.2, 56.07];
const sample2 = [55.58, 55.6, 55.97, 54.62, 46.51, 56.49, 54.65, 54.27, 54.29, 42.56, 48.53, 55.4];
const sample3 = [47.3, 45.1];
const sample4 = [49.77, 48.09, 48.24, 50.39, 53.0, 42.64, 54.92, 47.02, 49.52];
const sample5 = [
  49.83, 46.93, 49.75, 43.67, 45.22, 49.17, 48.48, 48.24, 48.69, 48.49, 47.98, 44.3, 45.25, 50.57, 48.59,
  49.3, 48.09, 42.96, 46.98, 48.95, 50.96, 45.82, 45.11, 48.62, 48.39, 49.14, 47.42, 45.54, 45.81, 45.65,
  45.34, 47.74, 47.39, 48.42, 50.36,
];
const sample6 = [53.25, 52.14];
const sample7 = [30.25, 30.41, 30.17];
const sample8 = [
  45.64, 56.08, 55.05, 52.76, 55.86, 56.58, 54.1, 51.99, 54.05, 55.28, 50.55, 56.61, 52.01, 51.82, 47.67,
  55.08, 58.81, 50.89, 52.7, 44.24, 54.81, 57.0, 58.0, 54.35, 46.73, 51.95, 56.09, 51.62, 57.92, 54.07, 57.04,
  54.3, 60.5, 49.41, 54.32, 53.84, 53.41, 56.85, 57.51, 47.01, 55.59, 55.42, 54.06, 54.71, 56.17, 53.22,
  53.76, 55.35, 43.77, 57.26, 57.9, 55.13, 50.5, 46.97, 53.45, 54.08, 52.9, 52.08, 58.35, 53.6,
];
const sample9 = [44.3, 46.36, 48.65, 54.1];
const sample10 = [
  6.79, 8.45, 9.1, 7.79, 6.93, 10.71, 9.02, 7.13, 14.07, 10.16, 11.21, 10.97, 8.59, 8.64, 9.24,
];
const sample11 = [
  49.49, 49.45, 49.7, 55.5, 56.07, 54.04, 51.19, 51.0, 52.87, 54.85, 52.32, 52.31, 53.76, 52.53, 51.42, 56.29,
  56.44, 50.07, 52.64, 56.42, 51.33, 49.81, 48.57, 52.86, 51.67, 49.61, 50.02, 50.52, 51.34,
];
const sample12 = [
  50.3, 51.17, 52.45, 51.07, 53.99, 53.31, 52.06, 54.06, 49.4, 51.02, 54.9, 48.69, 53.18, 56.88, 50.04, 52.25,
  49.16, 49.1, 51.62, 51.91, 48.47, 51.72, 50.95, 51.12, 48.54, 52.2, 46.4, 52.1,
];
const sample13 = [
  39.6, 42.3, 41.2, 42.2, 38.6, 41.6, 43.4, 41.1, 39.5, 43.4, 42.0, 39.7, 39.8, 38.2, 35.9, 39.0, 38.0, 36.7,
  38.6, 38.9, 38.4, 37.4, 41.5, 37.9, 38.8, 35.9, 37.6, 36.8, 40.5, 40.4, 39.7, 42.2, 38.6, 44.5, 39.2, 40.4,
  42.7, 36.7, 37.0, 38.9, 37.5, 39.3, 41.3, 40.0, 41.0, 40.7,
];
const sample14 = [
  46.07, 53.64, 49.95, 47.92, 52.13, 52.13, 50.63, 50.93, 47.59, 52.14, 50.35, 50.48, 53.03, 54.9, 52.27,
  53.01, 52.52, 54.91, 53.48, 52.66, 52.4, 51.31,
];
const sample15 = [49.89, 49.06];
const sample16 = [51.61, 52.96, 54.02, 50.52, 51.3];
const sample17 = [55.34, 53.99, 54.79, 50.0, 52.32, 52.92, 54.22, 53.36];

const computed: readonly [
  values: readonly number[],
  method: LowerBoundMethod,
  content: number,
  confidence: number,
  bound: number,
  order: number | undefined,
][] = [
  // By definition.
  [sample1, "lowest", 0.9, 0.95, 50.27, undefined],
  [sample2, "lowest", 0.9, 0.95, 42.56, undefined],
  [sample3, "lowest", 0.9, 0.95, 45.1, undefined],
  // By definition, sd with n − 1.
  [sample1, "mean-3sd", 0.9, 0.95, 46.5352837528889, undefined],
  [sample4, "mean-3sd", 0.9, 0.95, 38.74115865125197, undefined],
  [sample5, "mean-3sd", 0.9, 0.95, 41.44810517759847, undefined],
  // mpmath, 34 digits: mean − k·sd with the quantile of the non-central t.
  [sample1, "normal", 0.9, 0.95, 46.51975756506839, undefined],
  [sample6, "normal", 0.9, 0.95, 36.54084219049874, undefined],
  [sample7, "normal", 0.9, 0.95, 29.524478891207362, undefined],
  [sample5, "normal", 0.99, 0.95, 41.4590495460526, undefined],
  [sample2, "normal", 0.95, 0.9, 41.93103379003921, undefined],
  [sample8, "normal", 0.9, 0.95, 47.855702942735824, undefined],
  // mpmath, 34 digits: the same on logarithms.
  [sample4, "lognormal", 0.9, 0.95, 41.18088732121891, undefined],
  [sample9, "lognormal", 0.9, 0.95, 33.746639739327286, undefined],
  [sample10, "lognormal", 0.99, 0.95, 4.482902834816895, undefined],
  [sample8, "lognormal", 0.95, 0.95, 46.4968279353493, undefined],
  // Exact fractions: the largest r with P(Binomial(n, 1 − content) ≥ r) ≥ confidence.
  [sample5, "distribution-free", 0.9, 0.95, 42.96, 1],
  [sample8, "distribution-free", 0.9, 0.95, 44.24, 2],
  [sample8, "distribution-free", 0.95, 0.95, 43.77, 1],
  [sample11, "distribution-free", 0.9, 0.95, 48.57, 1],
  [sample13, "distribution-free", 0.9, 0.95, 35.9, 2],
  [sample14, "distribution-free", 0.9, 0.9, 46.07, 1],
  // mpmath, 34 digits: x(n) − z (x(n) − x(1)).
  [sample15, "hanson-koopmans", 0.9, 0.95, 20.6932193188212, undefined],
  [sample16, "hanson-koopmans", 0.9, 0.95, 42.44845018207568, undefined],
  [sample17, "hanson-koopmans", 0.99, 0.95, 32.644425694015844, undefined],
];

describe("lowerBound", () => {
  it.each(computed)("%#: as computed elsewhere", (values, method, content, confidence, bound, order) => {
    const got = bounded({ values, method, content, confidence });
    // 1e-10: the factors are good to 1e-12, and the difference from the mean loses up to two digits.
    expect(Math.abs(got.bound / bound - 1)).toBeLessThan(1e-10);
    expect(got.n).toBe(values.length);
    if (order !== undefined) expect(got.order).toBe(order);
  });

  // Exact: the least n with 1 − contentⁿ ≥ confidence.
  it.each([
    [sample12, 0.9, 0.95, 29],
    [sample1, 0.9, 0.95, 29],
    [sample8, 0.99, 0.95, 299],
  ])("%#: refuses a distribution-free bound and says what it needs", (values, content, confidence, needs) => {
    const answer = lowerBound({ values, method: "distribution-free", content, confidence });
    expect(answer.ok ? "" : answer.problems[0]?.expected).toBe(`${needs} or more`);
  });

  it("gives the published bound of the tape strengths", () => {
    // Tensile strength of graphite/epoxy tape, n = 38: Shyprykevich, ASTM STP 1003 (1989); mean − k_B·s in exact k_B.
    const tape = [
      147, 154, 159, 159, 166, 169, 172, 172, 173, 173, 174, 174, 174, 175, 178, 180, 181, 181, 184, 187, 188,
      188, 189, 190, 190, 192, 197, 200, 200, 200, 202, 206, 208, 209, 209, 211, 218, 231,
    ];
    const got = bounded({ values: tape, method: "normal", content: 0.9, confidence: 0.95 });
    expect(got.bound).toBeCloseTo(153.98656142764213, 6);
    expect(got.factor).toBeCloseTo(1.7102485077856953, 7);
    expect(got.mean).toBeCloseTo(185.7894736842105, 10);
    expect(got.sd).toBeCloseTo(18.59549189009056, 10);
  });

  it("gives the composites handbook's form of Hanson-Koopmans where it is asked for", () => {
    // CMH-17-1G, table 8.5.14: for n = 5 the rank 4, on logarithms; both figures as published with the data.
    const values = [3.26, 3.02, 3.07, 2.99, 3.29];
    const asked = {
      values,
      method: "hanson-koopmans",
      content: 0.9,
      confidence: 0.95,
      upperOrder: 4,
    } as const;
    expect(bounded({ ...asked, form: "ratio" }).bound).toBeCloseTo(2.286914153194901, 6);
    expect(bounded(asked).bound).toBeCloseTo(2.152803, 6);
  });

  it("says in the meaning what the two rules of thumb really claim at this n", () => {
    // 1 − 0.9^6 = 0.468559; by hand.
    const lowest = bounded({ values: sample1, method: "lowest", content: 0.9, confidence: 0.95 });
    expect(lowest.confidence).toBeCloseTo(0.468559, 12);
    expect(lowest.meaning).toContain("46.8 %");
    // Simulation with known truth: the 5 % point of the standard normal is −1.6449.
    const rule = bounded({ values: [52.1, 50.3, 55.9, 53.3, 51.2], method: "mean-3sd", content: 0.95 });
    const random = createRandom(11);
    let below = 0;
    const draws = 20_000;
    for (let i = 0; i < draws; i++) {
      const drawn = Array.from({ length: 5 }, () => random.normal());
      const mean = drawn.reduce((sum, value) => sum + value, 0) / 5;
      const sd = Math.sqrt(drawn.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 4);
      if (mean - 3 * sd < -1.6448536269514722) below += 1;
    }
    // Three standard errors of the simulation.
    expect(Math.abs(below / draws - rule.confidence)).toBeLessThan(3 * Math.sqrt((0.85 * 0.15) / draws));
    expect(rule.meaning).toContain("85.");
  });
});

describe("the confidence that a sentence names, rounded down to a tenth", () => {
  // Algebra: 1 - 0.9² = 0.19, 1 - 0.9³ = 0.271, 1 - 0.5³ = 0.875; 1 - 0.95³ = 0.142625, 1 - 0.9²⁸ = 0.94767.
  it.each([
    [2, 0.9, "19 %"],
    [3, 0.9, "27.1 %"],
    [3, 0.5, "87.5 %"],
    [3, 0.95, "14.2 %"],
    [28, 0.9, "94.7 %"],
    // 1 - 0.5⁴⁵ is short of all by 3e-14, and 1 - 0.9999 is 0.01 %.
    [45, 0.5, "99.9 %"],
    [1, 0.9999, "less than 0.1 %"],
  ])("the lowest of %i at %f: %s", (n, content, said) => {
    const values = Array.from({ length: n }, (_, i) => 50 + i);
    expect(bounded({ values, method: "lowest", content }).meaning).toContain(` with ${said} confidence`);
  });
});

describe("distributionFreeOrder", () => {
  // CMH-17-1G, tables 8.5.12 and 8.5.13; Wilks (1941) and ISO 16269-6:2014 for the others.
  it.each<[number, number, number, number | undefined]>([
    [29, 0.9, 0.95, 1],
    [46, 0.9, 0.95, 2],
    [76, 0.9, 0.95, 4],
    [89, 0.9, 0.95, 5],
    [116, 0.9, 0.95, 7],
    [154, 0.9, 0.95, 10],
    [275, 0.9, 0.95, 20],
    [504, 0.9, 0.95, 40],
    [1161, 0.9, 0.95, 100],
    [28, 0.9, 0.95, undefined],
    [45, 0.9, 0.95, 1],
    [299, 0.99, 0.95, 1],
    [628, 0.99, 0.95, 3],
    [1049, 0.99, 0.95, 6],
    [2784, 0.99, 0.95, 20],
    [298, 0.99, 0.95, undefined],
    [59, 0.95, 0.95, 1],
    [22, 0.9, 0.9, 1],
    [459, 0.99, 0.99, 1],
    // Symmetry: of an odd number of fair coins, the greater half comes up with a chance of exactly one half.
    [5, 0.5, 0.5, 3],
    [9, 0.5, 0.5, 5],
    [11, 0.5, 0.5, 6],
    [999, 0.5, 0.5, 500],
    // 1 − 0.9³ = 0.271 exactly.
    [3, 0.9, 0.271, 1],
    [2, 0.9, 0.271, undefined],
  ])("n = %d, content %d, confidence %d: rank %d", (n, content, confidence, order) => {
    expect(distributionFreeOrder({ n, content, confidence }).order).toBe(order);
  });

  it("is quick and exact for a million values", () => {
    // Normal approximation to the binomial, with its skewness term: np − z√(npq) + (q − p)(z² − 1)/6 = 9836.6.
    const { order } = distributionFreeOrder({ n: 1_000_000, content: 0.99, confidence: 0.95 });
    expect(Math.abs((order ?? 0) - 9836.6)).toBeLessThan(1);
  });
});

describe("hansonKoopmansFactor", () => {
  // CMH-17-1G, tables 8.5.14 (three decimals) and 8.5.15; Vangel (1994) for the ranks (n + 1)/2 (eight digits).
  it.each<[number, number, number, number, number, number]>([
    [2, 2, 0.9, 0.95, 35.177, 0.0006],
    [4, 4, 0.9, 0.95, 4.505, 0.0006],
    [5, 4, 0.9, 0.95, 4.101, 0.0006],
    [6, 5, 0.9, 0.95, 3.064, 0.0006],
    [8, 6, 0.9, 0.95, 2.382, 0.0006],
    [10, 6, 0.9, 0.95, 2.137, 0.0006],
    [11, 7, 0.9, 0.95, 1.897, 0.0006],
    [13, 7, 0.9, 0.95, 1.738, 0.0006],
    [15, 8, 0.9, 0.95, 1.54, 0.0006],
    [5, 3, 0.9, 0.95, 6.1981307, 1.2e-5],
    [11, 6, 0.9, 0.95, 2.0312134, 4e-6],
    [9, 5, 0.9, 0.9, 1.9368858, 3.8e-6],
    [15, 8, 0.9, 0.9, 1.2695586, 2.5e-6],
    [27, 14, 0.9, 0.95, 1.0303046, 2e-6],
    [9, 5, 0.95, 0.9, 2.7593956, 5.5e-6],
    [13, 7, 0.9, 0.95, 1.7377374, 3.4e-6],
    [3, 3, 0.99, 0.95, 16.9122, 0.00033],
    [5, 5, 0.99, 0.95, 6.89049, 0.00013],
    [8, 8, 0.99, 0.95, 4.25011, 8.5e-5],
    [12, 12, 0.99, 0.95, 3.1554, 6.3e-5],
    [20, 20, 0.99, 0.95, 2.36683, 4.7e-5],
    [18, 9, 0.9, 0.95, 1.354, 0.0006],
    [25, 11, 0.9, 0.95, 1.087, 0.0006],
    [40, 40, 0.99, 0.95, 1.75868, 3.5e-5],
    [100, 100, 0.99, 0.95, 1.30806, 2.6e-5],
  ])(
    "n = %d, upper rank %d, content %d, confidence %d: %d",
    (n, upperOrder, content, confidence, factor, tolerance) => {
      expect(Math.abs(hansonKoopmansFactor({ n, upperOrder, content, confidence }) - factor)).toBeLessThan(
        tolerance,
      );
    },
  );

  it("is 1 where the lowest value is bound enough", () => {
    expect(hansonKoopmansFactor({ n: 29, upperOrder: 29, content: 0.9, confidence: 0.95 })).toBe(1);
    expect(hansonKoopmansFactor({ n: 28, upperOrder: 28, content: 0.9, confidence: 0.95 })).toBeGreaterThan(
      1,
    );
  });
});

describe("Weibull and censored bounds", () => {
  const values = [50.01, 47.39, 53.7, 54.67, 44.28, 53.86, 50.64];
  const censored = [false, false, false, true, true, false, false];

  it("agree with a plain sum over the posterior", () => {
    const logs = values.map(Math.log);
    const weibull = bounded({ values, censored, method: "weibull", content: 0.9, confidence: 0.9 }).bound;
    const sum = clearedShare(
      { y: logs, censored, law: "weibull", quantile: Math.log(-Math.log(0.9)) },
      Math.log(weibull),
    );
    // 0.001: the grid's step and ends.
    expect(Math.abs(sum - 0.9)).toBeLessThan(0.001);
    const normal = bounded({ values, censored, method: "normal", content: 0.9, confidence: 0.9 }).bound;
    const normalSum = clearedShare(
      { y: values, censored, law: "normal", quantile: -1.2815515655446004 },
      normal,
    );
    expect(Math.abs(normalSum - 0.9)).toBeLessThan(0.001);
  });

  it("become the exact normal bound where the lower bounds say nothing", () => {
    // A specimen stopped far below all others tells nothing: what is left are the five others, mean − k·sd.
    const others = [50.01, 47.39, 53.7, 53.86, 50.64];
    const answer = summary(others);
    const { mean, sd } = answer.ok ? answer.value : { mean: 0, sd: 0 };
    const exact = mean - oneSidedFactor(5, 0.9, 0.95) * (sd ?? 0);
    const stopped = { values: [...others, 0.001], censored: [false, false, false, false, false, true] };
    const got = bounded({ ...stopped, method: "normal", content: 0.9, confidence: 0.95 });
    // The posterior has t tails, so a limit 15 sd away still weighs a little.
    expect(Math.abs(got.bound / exact - 1)).toBeLessThan(2e-4);
    expect(got.censoredCount).toBe(1);
    expect(got.warnings[0]?.code).toBe("STAT_APPROXIMATE");
  });

  it("hold where two measured values lie close together, far below the stopped ones", () => {
    // Algebra: as the distance of the two shrinks, the bound tends to a limit, since the stopped ones keep the spread open.
    const at = (gap: number, method: "normal" | "weibull") =>
      bounded({
        values: [50, 50 + gap, 53, 54],
        censored: [false, false, true, true],
        method,
        content: 0.9,
        confidence: 0.95,
      }).bound;
    for (const method of ["normal", "weibull"] as const) {
      expect(Math.abs(at(1e-3, method) - at(1e-6, method))).toBeLessThan(0.02);
      expect(at(1e-6, method)).toBeLessThan(at(0.5, method));
    }
  });

  // Simulation with known truth; tolerance three standard errors. Exact here, since the test ends at a set number of
  // failures; the shape does not matter to the bound.
  it.each([
    ["weibull", 3, 0],
    ["weibull", 8, 0],
    ["normal", 5, 2],
    ["weibull", 6, 2],
  ] as const)("cover as they claim: %s, n = %d, the %d highest cut off", (method, n, cut) => {
    const random = createRandom(5);
    const draws = method === "normal" ? 150 : 1200;
    let below = 0;
    const truth = method === "weibull" ? weibullQuantile(0.1, 20, 50) : 50 - 1.2815515655446004 * 3;
    for (let i = 0; i < draws; i++) {
      const drawn = Array.from({ length: n }, () =>
        method === "weibull" ? weibullQuantile(random.uniform(), 20, 50) : 50 + 3 * random.normal(),
      ).sort((a, b) => a - b);
      const last = drawn[n - cut - 1] as number;
      const got = bounded({
        values: drawn.map((value) => Math.min(value, last)),
        censored: drawn.map((value) => value > last),
        method,
        content: 0.9,
        confidence: 0.9,
      });
      if (got.bound < truth) below += 1;
    }
    expect(Math.abs(below / draws - 0.9)).toBeLessThan(3 * Math.sqrt(0.09 / draws));
  });
});

describe("lowerBound refuses, with the reason", () => {
  it.each<[string, LowerBoundInput, string]>([
    ["nothing", { values: [], method: "lowest" }, "STAT_TOO_FEW"],
    ["one value", { values: [5], method: "normal" }, "STAT_TOO_FEW"],
    ["one value", { values: [5], method: "weibull" }, "STAT_TOO_FEW"],
    ["one value", { values: [5], method: "mean-3sd" }, "STAT_TOO_FEW"],
    ["one value", { values: [5], method: "hanson-koopmans" }, "STAT_TOO_FEW"],
    ["all equal", { values: [5, 5, 5], method: "normal" }, "STAT_DEGENERATE"],
    ["all equal", { values: [5, 5, 5], method: "weibull" }, "STAT_DEGENERATE"],
    ["all equal", { values: [5, 5, 5], method: "hanson-koopmans" }, "STAT_DEGENERATE"],
    ["all censored", { values: [5, 6], censored: [true, true], method: "weibull" }, "STAT_TOO_FEW"],
    ["all censored", { values: [5, 6], censored: [true, true], method: "normal" }, "STAT_TOO_FEW"],
    [
      "censored mean − 3 SD",
      { values: [5, 6, 7], censored: [false, true, false], method: "mean-3sd" },
      "STAT_CENSORED",
    ],
    ["marks missing", { values: [5, 6], censored: [true], method: "lowest" }, "INPUT_FIELD"],
    ["infinity", { values: [5, Number.POSITIVE_INFINITY], method: "lowest" }, "STAT_VALUE"],
    ["not a number", { values: [5, Number.NaN], method: "lowest" }, "STAT_VALUE"],
    ["zero", { values: [0, 4], method: "lognormal" }, "STAT_VALUE"],
    ["zero", { values: [0, 4], method: "weibull" }, "STAT_VALUE"],
    ["content of 1", { values: [3, 4], method: "normal", content: 1 }, "STAT_VALUE"],
    ["confidence in percent", { values: [3, 4], method: "normal", confidence: 95 }, "STAT_VALUE"],
    ["rank 1", { values: [3, 4], method: "hanson-koopmans", upperOrder: 1 }, "STAT_VALUE"],
    ["no method", { values: [3, 4], method: "constructor" as "normal" }, "INPUT_UNKNOWN"],
  ])("%s", (_, input, code) => {
    expect(codeOf(input)).toBe(code);
  });

  it("or gives a number, for sizes far apart and for a million values", () => {
    for (const method of lowerBoundMethods) {
      const answer = lowerBound({ values: [1e-300, 1e300, 1], method });
      if (answer.ok) expect(Number.isFinite(answer.value.bound)).toBe(true);
      else expect(answer.problems[0]?.code).toMatch(/^STAT_/);
    }
    const random = createRandom(1);
    const many = Array.from({ length: 1_000_000 }, () => 50 + random.normal());
    // The 10 % point of the law is 50 − 1.28155; 1e6 values come within 0.01 of it.
    for (const method of ["normal", "distribution-free"] as const) {
      const { bound } = bounded({ values: many, method, content: 0.9, confidence: 0.95 });
      expect(Math.abs(bound - 48.71845)).toBeLessThan(0.01);
    }
  }, 30_000);

  it("warns where the bound comes out below zero", () => {
    const got = bounded({ values: [3, 9], method: "normal", content: 0.9, confidence: 0.95 });
    expect(got.bound).toBeLessThan(0);
    expect(got.warnings[0]?.code).toBe("STAT_BELOW_ZERO");
  });
});

type Posterior = {
  readonly y: readonly number[];
  readonly censored: readonly boolean[];
  readonly law: "weibull" | "normal";
  /** The law's own quantile at the share 1 − content. */
  readonly quantile: number;
};

/** A second, plain implementation: the share of the posterior with prior 1/b that clears a bound, summed over a grid. */
function clearedShare({ y, censored, law, quantile }: Posterior, bound: number): number {
  let cleared = 0;
  let all = 0;
  const centre = y.reduce((sum, value) => sum + value, 0) / y.length;
  const size = Math.max(...y) - Math.min(...y);
  for (let logB = -3; logB < 3; logB += 0.03) {
    const b = size * Math.exp(logB);
    for (let v = -10; v < 10; v += 0.03) {
      const u = centre + v * b;
      let logLikelihood = 0;
      for (const [i, value] of y.entries()) {
        const z = (value - u) / b;
        if (law === "weibull") logLikelihood += censored[i] ? -Math.exp(z) : z - Math.exp(z) - Math.log(b);
        else logLikelihood += censored[i] ? Math.log(upperTail(z)) : -0.5 * z * z - Math.log(b);
      }
      const weight = Math.exp(logLikelihood) * b;
      all += weight;
      if (u + quantile * b >= bound) cleared += weight;
    }
  }
  return cleared / all;
}

/** The upper tail of the normal law by Simpson's rule, plainly. */
function upperTail(z: number): number {
  if (z < -8) return 1;
  let sum = 0;
  const steps = 60;
  const width = 10 / steps;
  for (let i = 0; i <= steps; i++) {
    const x = z + i * width;
    sum += (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2) * Math.exp(-0.5 * x * x);
  }
  return (sum * width) / 3 / Math.sqrt(2 * Math.PI);
}

describe("the Weibull bound of a complete sample", () => {
  // Logarithms of the bounds by R 4.2.2's integrate and by a sum over 4000 nodes, which agree to 15 digits.
  it.each([
    [[42.4, 43.5, 41.5], 0.8854879280761854, 0.6178353757829254, 3.693901108916366],
    [
      [191, 155, 226, 122, 191, 142, 189, 171, 149, 199, 183, 179, 194, 173, 162, 200, 208, 192],
      0.9691406012499015,
      0.9146532596102814,
      4.661827233249856,
    ],
  ])("is Lawless' conditional bound to twelve digits (%j)", (values, content, confidence, logBound) => {
    const { bound } = bounded({ values, method: "weibull", content, confidence });
    expect(Math.abs(Math.log(bound) / logBound - 1)).toBeLessThan(1e-12);
  });
});
