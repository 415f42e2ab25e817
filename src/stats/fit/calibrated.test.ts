import { expect, it } from "vitest";
import { weibullQuantile } from "../distributions/weibull.ts";
import { createRandom } from "../random/random.ts";
import { disagreements, givenBy } from "../test-data/agree.ts";
import { type EstimateInput, estimateFamily, type FitInput, fitFamily } from "./fit.ts";

// R 4.2.2. Normal, complete: t.test(x)$conf.int; sqrt(var(x) (n − 1)/qchisq(c(.975, .025), n − 1)). The others: the conditional law
// written anew, integrate over log b in pieces (of the normal law over the mean within it), pgamma, uniroot.
const byR: readonly (readonly [FitInput, Record<string, readonly [number, number]>, number])[] = [
  [
    { values: [52.85, 53.98, 55.81, 52.45, 50.74], family: "normal" },
    { mean: [50.8305392698827, 55.5014607301173], sd: [1.12691671868065, 5.40490531166678] },
    1e-13,
  ],
  [
    { values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34], family: "weibull" },
    { shape: [6.22137633576798, 29.8025389670566], scale: [52.4530378026729, 60.2447657108661] },
    1e-12,
  ],
  [
    { values: [42.4, 43.5, 41.5], family: "weibull" },
    { shape: [7.20387989009593, 99.4527367893434], scale: [40.8736734066936, 45.9838500263456] },
    1e-12,
  ],
  [
    {
      values: [50.01, 47.39, 53.7, 54.67, 44.28, 53.86, 50.64],
      censored: [false, false, false, true, true, false, false],
      family: "weibull",
    },
    { shape: [6.29811267704447, 35.1576430853519], scale: [50.5590113773665, 58.388396920173] },
    1e-12,
  ],
  [
    {
      values: [57.65, 53.08, 48.67, 56.83, 54.45, 53.28, 49.25, 53.82],
      censored: [false, true, false, false, false, false, false, true],
      family: "normal",
    },
    { mean: [51.049307432365, 58.452854316105], sd: [2.3533698783591, 9.2664410033306] },
    // R's uniroot, asked for 1e-10.
    1e-11,
  ],
];

it.each(byR)("%#: calibrated intervals are R's", (input, expected, relative) => {
  expect(disagreements(givenBy(fitFamily(input)).calibratedIntervals, expected, relative)).toEqual([]);
});

it.each([
  [3, 84.5],
  [5, 89.1],
])("hold what they claim for %d complete values, where the profile's hold about %d %%", (n) => {
  // Simulation with known truth, four standard errors of 250 draws; neither interval depends on shape or scale.
  const random = createRandom(n);
  const counts = { shape: 0, scale: 0, profile: 0 };
  for (let i = 0; i < 250; i++) {
    const values = Array.from({ length: n }, () => weibullQuantile(random.uniform(), 20, 50));
    const { intervals, calibratedIntervals } = givenBy(fitFamily({ values, family: "weibull" }));
    counts.shape += holds(calibratedIntervals?.["shape"], 20);
    counts.scale += holds(calibratedIntervals?.["scale"], 50);
    counts.profile += holds(intervals["shape"], 20);
  }
  const error = Math.sqrt((0.95 * 0.05) / 250);
  expect(Math.abs(counts.shape / 250 - 0.95)).toBeLessThan(4 * error);
  expect(Math.abs(counts.scale / 250 - 0.95)).toBeLessThan(4 * error);
  expect(counts.profile / 250).toBeLessThan(0.95 - 2 * error);
});

it("agree with the profile's where there are many values", () => {
  const random = createRandom(2);
  const values = Array.from({ length: 4000 }, () => weibullQuantile(random.uniform(), 20, 50));
  const { intervals, calibratedIntervals } = givenBy(fitFamily({ values, family: "weibull" }));
  expect(disagreements(calibratedIntervals, intervals, 5e-4)).toEqual([]);
});

it("are left out, with the reason, where they would take long", () => {
  const values = Array.from({ length: 700 }, (_, i) => 50 + (i % 37) / 10);
  const answer = fitFamily({ values, censored: values.map((_, i) => i % 2 === 1), family: "normal" });
  expect(givenBy(answer).calibratedIntervals).toBeUndefined();
  expect(answer.ok ? answer.warnings.map(({ code }) => code) : []).toContain("STAT_APPROXIMATE");
});

it("estimates the same parameters without intervals", () => {
  for (const [input] of byR) {
    const { parameters, logLikelihood } = givenBy(fitFamily(input));
    expect(givenBy(estimateFamily(input))).toMatchObject({ parameters, logLikelihood });
  }
});

it("finds the top of the likelihood: no other parameters near by are more likely", () => {
  // Algebra: the sum of log densities and log survivals, written out plainly.
  const random = createRandom(9);
  for (let i = 0; i < 30; i++) {
    const values = Array.from({ length: 12 }, () => weibullQuantile(random.uniform(), 3 + i, 50));
    const censored = values.map((_, k) => k % 3 === i % 3);
    const input: EstimateInput = { values, censored, family: "weibull" };
    const { parameters, logLikelihood } = givenBy(estimateFamily(input));
    const [shape, scale] = [parameters["shape"] ?? 0, parameters["scale"] ?? 0];
    const plain = (k: number, s: number) =>
      values.reduce((total, x, at) => {
        const log = censored[at] ? 0 : Math.log(k / s) + (k - 1) * Math.log(x / s);
        return total + log - (x / s) ** k;
      }, 0);
    expect(plain(shape, scale)).toBeCloseTo(logLikelihood, 9);
    for (const [a, b] of [
      [1.001, 1],
      [0.999, 1],
      [1, 1.0001],
      [1, 0.9999],
    ] as const)
      expect(plain(shape * a, scale * b)).toBeLessThan(logLikelihood);
  }
});

it("gives the ball bearings' published figures", () => {
  // Lieblein and Zelen (1956), the variant with 48.48; shape 2.102 and scale 81.88 in Meeker and Escobar (1998).
  const values = [
    17.88, 28.92, 33.0, 41.52, 42.12, 45.6, 48.48, 51.84, 51.96, 54.12, 55.56, 67.8, 68.64, 68.64, 68.88,
    84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.4,
  ];
  const { parameters } = givenBy(estimateFamily({ values, family: "weibull" }));
  expect(parameters["shape"]?.toFixed(3)).toBe("2.102");
  expect(parameters["scale"]?.toFixed(2)).toBe("81.88");
});

function holds(interval: readonly [number, number] | undefined, truth: number): number {
  return interval !== undefined && interval[0] <= truth && truth <= interval[1] ? 1 : 0;
}
