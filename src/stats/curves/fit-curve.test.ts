import { describe, expect, it } from "vitest";
import { codeOf, givenBy } from "../test-data/agree.ts";
import { nonlinearSets } from "../test-data/strd-nonlinear.ts";
import { type Curve, fitCurve } from "./fit-curve.ts";

/** Correct significant digits: −log10 of the relative error. */
function digits(got: number, certified: number): number {
  return got === certified ? 15 : -Math.log10(Math.abs(got - certified) / Math.abs(certified));
}

describe("NIST StRD nonlinear regression, from both starting points", () => {
  const runs = nonlinearSets.flatMap((set) =>
    set.starts.map((start, i) => [set.name, i + 1, set, start] as const),
  );

  // Certified to 11 digits. Lanczos3, whose residuals are a hundred-thousandth of its values, reaches 8.7; the others 9.8 and more.
  it.each(runs)("%s from start %i to eight digits", (_, __, set, start) => {
    const x = set.y.map((_, i) => set.x.map((column) => column[i] as number));
    const fit = givenBy(fitCurve({ model: set.model, x, y: set.y, start }));
    expect(fit.df).toBe(set.y.length - start.length);
    const reached = [
      ...set.coefficients.map((certified, j) => digits(fit.coefficients[j] as number, certified)),
      ...set.standardErrors.map((certified, j) => digits(fit.standardErrors[j] as number, certified)),
      digits(fit.residualSumOfSquares, set.residualSumOfSquares),
      digits(fit.residualSd, set.residualSd),
    ];
    expect(Math.min(...reached)).toBeGreaterThan(8);
  });
});

describe("a curve that cannot be given", () => {
  const line: Curve = ([a = 0, b = 0], [x = 0]) => a + b * x;
  const rows = [1, 2, 3, 4].map((x) => [x]);
  const code = (model: Curve, y: number[], start: number[], x = rows) =>
    codeOf(fitCurve({ model, x, y, start }));

  it("has too few values", () => expect(code(line, [1, 2], [0, 0], [[1], [2]])).toBe("STAT_TOO_FEW"));
  it("has places that do not match", () => expect(code(line, [1, 2, 3], [0, 0])).toBe("INPUT_FIELD"));
  it("is no number at the start", () =>
    expect(code(([a = 0], [x = 0]) => Math.log(a) * x, [1, 2, 3, 4], [-1])).toBe("STAT_VALUE"));
  it("has two parameters that do the same", () =>
    expect(code(([a = 0, b = 0], [x = 0]) => (a + b) * x, [1, 2, 4, 4], [1, 1])).toBe("STAT_NOT_SETTLED"));
  it("has its best parameter at infinity", () =>
    // exp(−a) for values at 0: the larger a the better, without end.
    expect(code(([a = 0]) => Math.exp(-a), [-1, -2, -1, -2], [1])).toBe("STAT_NOT_SETTLED"));
  it("goes through every value: no scatter, and the parameters exactly", () => {
    const fit = givenBy(fitCurve({ model: line, x: rows, y: [3, 5, 7, 9], start: [0, 0] }));
    expect(fit.coefficients[0]).toBeCloseTo(1, 12);
    expect(fit.coefficients[1]).toBeCloseTo(2, 12);
    expect(fit.residualSd).toBeLessThan(1e-12);
  });
});
