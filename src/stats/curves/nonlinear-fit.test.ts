import { describe, expect, it } from "vitest";
import { linearModel } from "../models/linear-model.ts";
import { createRandom } from "../random/random.ts";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { nonlinearSets } from "../test-data/strd-nonlinear.ts";
import { type CurveName, curveNames, nonlinearFit } from "./nonlinear-fit.ts";

// Exact values of the curves, by algebra: coefficients, what is foretold, and no scatter.
const exact = [
  // 2.5 + 0.35 per decade.
  ["log-time", [1, 10, 100, 1000], [2.5, 2.85, 3.2, 3.55], { atOne: 2.5, perDecade: 0.35 }, 10000, 3.9],
  // 1.2 + 0.08 log10(t), 50 digits.
  [
    "log-time",
    [0.1, 0.5, 2, 8, 24],
    [1.12, 1.1759176003468814, 1.2240823996531185, 1.2722471989593556, 1.3104168993369285],
    { atOne: 1.2, perDecade: 0.08 },
    168,
    1.378024742538069,
  ],
  // 0.8 t^(1/4).
  [
    "power",
    [1, 4, 16, 64],
    [0.8, 1.131370849898476, 1.6, 2.262741699796952],
    { factor: 0.8, exponent: 0.25 },
    256,
    3.2,
  ],
  // 0.31 t^0.12, 50 digits.
  [
    "power",
    [0.5, 1, 5, 20, 100],
    [0.28525817169371126, 0.31, 0.3760435070635154, 0.4441046222202355, 0.5387182569123063],
    { factor: 0.31, exponent: 0.12 },
    1000,
    0.7101689723580097,
  ],
  // 2 + 6 · 2^(−t/5): halves every five, so the time is 5/ln 2.
  [
    "exponential-approach",
    [0, 5, 10, 15, 20],
    [8, 5, 3.5, 2.75, 2.375],
    { end: 2, begin: 8, time: 5 / Math.LN2 },
    25,
    2.1875,
  ],
] as const;

describe("nonlinear-fit", () => {
  it.each(exact)("%s goes through its own values", (model, x, y, coefficients, at, foretold) => {
    const fit = givenBy(nonlinearFit({ model, x, y, at }));
    expect(disagreements(fit.coefficients, coefficients, 1e-11)).toEqual([]);
    expect(fit.prediction?.value).toBeCloseTo(foretold, 11);
    expect(fit.residualSd).toBeLessThan(1e-11);
  });

  it("log-time with scatter, by hand: on log10 times −1.5 to 1.5 about their mean", () => {
    // Slope: (−1.5·2 − 0.5·2.5 + 0.5·2.7 + 1.5·3.2)/5 = 0.38; mean 2.6, so 2.6 − 1.5·0.38 = 2.03; residuals −0.03, 0.09, −0.09,
    // 0.03 square to 0.018, over 2 degrees of freedom.
    const fit = givenBy(
      nonlinearFit({ model: "log-time", x: [1, 10, 100, 1000], y: [2, 2.5, 2.7, 3.2], at: 10000 }),
    );
    expect(
      disagreements(
        fit,
        {
          coefficients: { atOne: 2.03, perDecade: 0.38 },
          residualSd: Math.sqrt(0.009),
          residualSumOfSquares: 0.018,
          standardErrors: { perDecade: Math.sqrt(0.009 / 5) },
          prediction: { value: 3.55 },
        },
        1e-11,
      ),
    ).toEqual([]);
  });

  it("log-time is the straight line over log10(x), with all its errors", () => {
    const x = [1, 3, 10, 40, 90, 300];
    const y = [2.2, 2.6, 2.7, 3.1, 3.0, 3.5];
    const curve = givenBy(nonlinearFit({ model: "log-time", x, y, at: 1000 }));
    const line = givenBy(
      linearModel({ columns: { perDecade: x.map(Math.log10) }, response: y, at: { perDecade: 3 } }),
    );
    expect(curve.coefficients["perDecade"]).toBeCloseTo(line.coefficients["perDecade"] as number, 11);
    expect(curve.standardErrors["atOne"]).toBeCloseTo(line.standardErrors["intercept"] as number, 11);
    expect(disagreements(curve.prediction, line.prediction, 1e-10)).toEqual([]);
  });

  it("power finds NIST's DanWood without a start", () => {
    const set = nonlinearSets.find(({ name }) => name === "DanWood");
    if (set === undefined) throw new Error("DanWood is missing.");
    const fit = givenBy(nonlinearFit({ model: "power", x: set.x[0] as readonly number[], y: set.y }));
    expect(disagreements(Object.values(fit.coefficients), set.coefficients, 1e-9)).toEqual([]);
    expect(disagreements(Object.values(fit.standardErrors), set.standardErrors, 1e-9)).toEqual([]);
  });

  it("exponential-approach finds what straight lines over exp(−x / time) find at the best of many times", () => {
    // A second, naive way: for each time a straight line, and the least sum of squares of all.
    const x = [0, 5, 10, 20, 40, 80];
    const y = [44.1, 42.8, 42.2, 41.0, 40.3, 40.1];
    const fit = givenBy(nonlinearFit({ model: "exponential-approach", x, y }));
    const naive = Array.from({ length: 2000 }, (_, i) => 5 + i / 50).map((time) => {
      const line = givenBy(
        linearModel({ columns: { left: x.map((t) => Math.exp(-t / time)) }, response: y }),
      );
      return { time, left: 4 * line.residualSd ** 2, end: line.coefficients["intercept"] as number };
    });
    const best = naive.reduce((a, b) => (b.left < a.left ? b : a));
    expect(Math.abs((fit.coefficients["time"] as number) - best.time)).toBeLessThanOrEqual(0.01);
    expect(fit.coefficients["end"]).toBeCloseTo(best.end, 2);
    expect(fit.residualSumOfSquares).toBeLessThanOrEqual(best.left);
  });

  it("covers the truth as often as it says, simulated: 500 relaxations of 12 readings, seed 4", () => {
    const random = createRandom(4);
    const x = Array.from({ length: 12 }, (_, i) => 5 * i);
    let covered = 0;
    for (let i = 0; i < 500; i++) {
      const y = x.map((t) => 40 + 4 * Math.exp(-t / 15) + 0.1 * random.normal());
      const { intervals } = givenBy(nonlinearFit({ model: "exponential-approach", x, y }));
      const [low = 0, high = 0] = intervals["end"] ?? [];
      if (low <= 40 && 40 <= high) covered += 1;
    }
    // Three standard errors of 500 draws at 0.95 are 0.03; the straightening may take half as much again.
    expect(Math.abs(covered / 500 - 0.95)).toBeLessThan(0.045);
  });
});

describe("nonlinear-fit refuses", () => {
  const code = (model: CurveName, x: number[], y: number[], more = {}) =>
    codeOf(nonlinearFit({ model, x, y, ...more }));

  it.each(curveNames)("%s of nothing, of one place, of places that do not match", (model) => {
    expect(code(model, [], [])).toBe("STAT_TOO_FEW");
    expect(code(model, [2, 2, 2, 2, 2], [1, 2, 3, 4, 5])).not.toBe("given");
    expect(code(model, [1, 2, 3], [1, 2, 3, 4, 5])).toBe("INPUT_FIELD");
    expect(code(model, [1, 2, 3, 4, Number.NaN], [1, 2, 3, 4, 5])).toBe("STAT_VALUE");
    expect(code(model, [1, 2, 3, 4, 5], [1, 2, 3, 4, 5], { at: Number.NaN })).toBe("STAT_VALUE");
    expect(code(model, [1, 2, 3, 4, 5], [1, 2, 3, 4, 5], { confidence: 1 })).toBe("STAT_VALUE");
    expect(code(model, [-1, 2, 3, 4, 5], [1, 2, 3, 4, 5])).toBe("STAT_VALUE");
  });

  it("logarithms of 0", () => {
    expect(code("log-time", [0, 1, 2], [1, 2, 3])).toBe("STAT_VALUE");
    expect(code("power", [1, 2, 4], [1, 2, 3], { at: 0 })).toBe("STAT_VALUE");
  });

  it("an approach that does not bend, or is over before the second reading", () => {
    expect(code("exponential-approach", [0, 1, 2, 3, 4], [1, 2, 3, 4, 5])).not.toBe("given");
    expect(code("exponential-approach", [0, 1, 2, 3, 4], [9, 5, 5, 5, 5])).not.toBe("given");
  });
});
