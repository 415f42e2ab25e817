import { describe, expect, it } from "vitest";
import {
  bootstrap,
  equalSpread,
  exactTable,
  fitCompare,
  linearModel,
  pool,
  power,
  proportion,
  survivalCurve,
} from "./mod.ts";
import { givenBy } from "./test-data/agree.ts";

// The cases that docs/methods works out by hand, where they are not a test elsewhere.
describe("worked by hand in docs/methods", () => {
  it("equal-spread", () => {
    expect(
      givenBy(
        equalSpread({
          groups: [
            [1, 2, 3],
            [2, 4, 9],
          ],
        }),
      ).statistic,
    ).toBeCloseTo(1.25, 12);
  });

  it("linear-model", () => {
    const { coefficients } = givenBy(
      linearModel({ columns: { x: [1, 2, 3, 4] }, response: [2.1, 3.9, 6.2, 7.8] }),
    );
    expect(coefficients["x"]).toBeCloseTo(1.94, 12);
    expect(coefficients["intercept"]).toBeCloseTo(0.15, 12);
  });

  it("bootstrap: the jackknife of a mean", () => {
    const { jackknife } = givenBy(bootstrap({ values: [1, 2, 6], statistic: "mean" }));
    expect(jackknife.standardError).toBeCloseTo(Math.sqrt(7 / 3), 12);
    expect(jackknife.bias).toBeCloseTo(0, 12);
  });

  it("survival-curve", () => {
    const { steps } = givenBy(survivalCurve({ values: [43, 45, 50], censored: [false, true, false] }));
    expect(steps.map(({ survival }) => survival)).toEqual([1 - 1 / 3, 0]);
  });

  it("fit-compare", () => {
    const { fits, decided } = givenBy(fitCompare({ values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34] }));
    const normal = fits.find(({ family }) => family === "normal");
    expect(normal?.logLikelihood).toBeCloseTo(-17.1405, 4);
    expect(normal?.difference).toBeCloseTo(2 * (17.1405 - 16.2666), 3);
    expect(decided).toBe(false);
  });

  it("pool", () => {
    const { heterogeneity, dl } = givenBy(pool({ estimates: [50.86, 47.77], standardErrors: [1.0, 0.87] }));
    expect(heterogeneity.q).toBeCloseTo(3.09 ** 2 / 1.7569, 10);
    expect(dl.tau2).toBeCloseTo((3.09 ** 2 - 1.7569) / 2, 10);
  });

  it("power", () => {
    expect(givenBy(power({ kind: "two", n: 5, difference: 3, sd: 2 })).power).toBeCloseTo(0.549, 3);
  });

  it("proportion", () => {
    expect(givenBy(proportion({ successes: 0, n: 5 })).interval[1]).toBeCloseTo(0.76829 / 1.76829, 5);
  });

  it("exact-table", () => {
    expect(
      givenBy(
        exactTable({
          table: [
            [3, 1],
            [1, 3],
          ],
        }),
      ).p,
    ).toBeCloseTo(34 / 70, 12);
  });
});
