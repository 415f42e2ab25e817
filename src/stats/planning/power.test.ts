import { describe, expect, it } from "vitest";
import { nonCentralTTails } from "../distributions/non-central-t.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { oneWay } from "../groups/one-way.ts";
import { lowerBound } from "../lower-bound.ts";
import { createRandom } from "../random/random.ts";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { detectableDifference, detectableSpread, power, sampleSize } from "./power.ts";

// R 4.2.2: power.t.test, without the wrong sign that strict = TRUE adds; power.anova.test; non-central F in mpmath.
const chances = [
  {
    input: { kind: "two", n: 5, difference: 3.0, sd: 2.0, alpha: 0.05 },
    expected: { power: 0.5493641756862718 },
    relative: 7.8e-5,
  },
  {
    input: { kind: "two", n: 8, difference: 2.0, sd: 2.0, alpha: 0.05 },
    expected: { power: 0.46117589583100127 },
    relative: 0.00027,
  },
  {
    input: { kind: "two", n: 10, difference: 3.0, sd: 2.5, alpha: 0.01 },
    expected: { power: 0.4450732847437463 },
    relative: 1e-6,
  },
  {
    input: { kind: "two", n: 20, difference: 1.5, sd: 2.0, alpha: 0.05 },
    expected: { power: 0.6373921131163847 },
    relative: 3e-5,
  },
  {
    input: { kind: "two", n: 4, difference: 6.0, sd: 2.0, alpha: 0.05 },
    expected: { power: 0.9389357399242803 },
    relative: 1e-7,
  },
  {
    input: { kind: "many", means: [50.0, 52.0, 54.0], sd: 2.0, n: 4, alpha: 0.05 },
    expected: { power: 0.5596310282805196 },
    relative: 1e-8,
  },
  {
    input: { kind: "many", means: [50.0, 50.0, 53.0, 51.0], sd: 2.5, n: 6, alpha: 0.05 },
    expected: { power: 0.4205665174291052 },
    relative: 1e-8,
  },
  {
    input: { kind: "many", means: [40.0, 41.0], sd: 1.0, n: 10, alpha: 0.05 },
    expected: { power: 0.5620066465861491 },
    relative: 1e-8,
  },
] as const;

// The smallest n whose power reaches the aim, by the same.
const sizes = [
  {
    input: { kind: "two", difference: 3.0, sd: 2.0, alpha: 0.05, power: 0.8 },
    expected: { n: 9 },
    relative: 0,
  },
  {
    input: { kind: "two", difference: 2.0, sd: 2.5, alpha: 0.05, power: 0.9 },
    expected: { n: 34 },
    relative: 0,
  },
  {
    input: { kind: "two", difference: 5.0, sd: 2.0, alpha: 0.01, power: 0.8 },
    expected: { n: 6 },
    relative: 0,
  },
  {
    input: { kind: "two", difference: 4.0, sd: 2.5, alpha: 0.05, power: 0.5 },
    expected: { n: 5 },
    relative: 0,
  },
  {
    input: { kind: "many", means: [50.0, 52.0, 54.0], sd: 2.5, alpha: 0.05, power: 0.8 },
    expected: { n: 9 },
    relative: 0,
  },
  {
    input: { kind: "many", means: [50.0, 51.0, 51.5, 53.0], sd: 2.0, alpha: 0.05, power: 0.9 },
    expected: { n: 14 },
    relative: 0,
  },
] as const;

describe("power", () => {
  it.each(chances)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(power(row.input)), row.expected, 1e-8)).toEqual([]);
  });

  it("of a bound is the share of samples whose bound clears the target", () => {
    // Simulation with known truth: mean 50, sd 2, ten values, 90/95 bound above 44; three errors.
    const aim = { kind: "bound", mean: 50, sd: 2, target: 44, content: 0.9, confidence: 0.95 } as const;
    const random = createRandom(21);
    const draws = 1500;
    let clears = 0;
    for (let i = 0; i < draws; i++) {
      const values = Array.from({ length: 10 }, () => 50 + 2 * random.normal());
      if (givenBy(lowerBound({ values, method: "normal", content: 0.9, confidence: 0.95 })).bound >= 44)
        clears += 1;
    }
    const { power: expected } = givenBy(power({ ...aim, n: 10 }));
    expect(Math.abs(clears / draws - expected)).toBeLessThan(
      3 * Math.sqrt((expected * (1 - expected)) / draws),
    );
  });

  it("refuses", () => {
    const two = { kind: "two", difference: 3, sd: 2 } as const;
    expect(codeOf(power({ ...two, n: 1 }))).toBe("STAT_TOO_FEW");
    expect(codeOf(power({ ...two, n: 2.5 }))).toBe("STAT_VALUE");
    expect(codeOf(power({ ...two, sd: 0, n: 5 }))).toBe("STAT_VALUE");
    expect(codeOf(power({ ...two, difference: 0, n: 5 }))).toBe("STAT_VALUE");
    expect(codeOf(power({ kind: "many", means: [4, 4], sd: 1, n: 5 }))).toBe("STAT_VALUE");
    expect(codeOf(power({ kind: "many", means: [4], sd: 1, n: 5 }))).toBe("STAT_TOO_FEW");
  });
});

describe("sampleSize", () => {
  it.each(sizes)("%#: as computed elsewhere", (row) => {
    expect(givenBy(sampleSize(row.input)).n).toBe(row.expected.n);
  });

  it("for a bound is the least n that reaches the chance", () => {
    const aim = { kind: "bound", mean: 50, sd: 2, target: 44, content: 0.9, confidence: 0.95 } as const;
    const { n } = givenBy(sampleSize({ ...aim, power: 0.8 }));
    expect(givenBy(power({ ...aim, n })).power).toBeGreaterThanOrEqual(0.8);
    expect(givenBy(power({ ...aim, n: n - 1 })).power).toBeLessThan(0.8);
  });

  it("refuses what no number of values can show", () => {
    const hopeless = {
      kind: "bound",
      mean: 50,
      sd: 2,
      target: 49,
      content: 0.9,
      confidence: 0.95,
      power: 0.8,
    } as const;
    expect(codeOf(sampleSize(hopeless))).toBe("STAT_VALUE");
    expect(codeOf(sampleSize({ kind: "two", difference: 1e-6, sd: 2, power: 0.8 }))).toBe("STAT_VALUE");
    expect(codeOf(sampleSize({ kind: "two", difference: 1, sd: 2, power: 80 }))).toBe("STAT_VALUE");
  });
});

describe("detectableDifference", () => {
  it("is the difference whose power is the one asked for", () => {
    const difference = detectableDifference({ nA: 5, nB: 5, sd: 2, alpha: 0.05, power: 0.5493641756862718 });
    // R 4.2.2: power.t.test(n = 5, delta = 3, sd = 2) has the power 0.54936.
    expect(difference).toBeCloseTo(3, 8);
  });
});

describe("detectableSpread", () => {
  const wanted = { sd: 2, alpha: 0.05, power: 0.8 };

  it("of two groups is what the t test finds, to either side", () => {
    // F of two groups is t squared; the one comes by the non-central F, the other by the non-central t.
    for (const [nA, nB] of [
      [5, 5],
      [3, 9],
    ] as const) {
      const df = nA + nB - 2;
      const shift = detectableSpread({ sizes: [nA, nB], ...wanted }) / 2 / Math.sqrt(1 / nA + 1 / nB);
      const critical = studentTQuantile(0.975, df);
      const found =
        nonCentralTTails(critical, df, shift).upper + nonCentralTTails(-critical, df, shift).lower;
      expect(found).toBeCloseTo(0.8, 9);
    }
  });

  it("of groups of one size has the chance that power says", () => {
    const spread = detectableSpread({ sizes: [6, 6, 6, 6], ...wanted });
    const found = power({ kind: "many", n: 6, means: [-spread / 2, 0, 0, spread / 2], sd: 2 });
    expect(found.ok && found.value.power).toBeCloseTo(0.8, 9);
  });

  it("of groups of unlike sizes is found in 80 of 100 draws", () => {
    // Simulation with known truth, four standard errors of 4000 draws.
    const sizes = [3, 8, 4, 5];
    const half = detectableSpread({ sizes, ...wanted }) / 2;
    const means = [-half, 0, half, 0];
    const random = createRandom(12);
    let found = 0;
    for (let i = 0; i < 4000; i++) {
      const groups = sizes.map((n, g) =>
        Array.from({ length: n }, () => (means[g] as number) + 2 * random.normal()),
      );
      if (oneWay(groups).p < 0.05) found += 1;
    }
    expect(Math.abs(found / 4000 - 0.8)).toBeLessThan(4 * Math.sqrt(0.16 / 4000));
  });
});
