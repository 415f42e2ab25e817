import { describe, expect, it } from "vitest";
import type { Result } from "../problem/mod.ts";
import {
  bootstrap,
  claim,
  compareMany,
  compareTwo,
  equalSpread,
  families,
  fitCompare,
  fitFamily,
  linearModel,
  lowerBound,
  lowerBoundMethods,
  mixedModel,
  normality,
  outliers,
  pool,
  power,
  samePopulation,
  standardUncertainty,
  summary,
  survivalCurve,
} from "./mod.ts";

// Whatever it is given, a statistic is a right number or a refusal with a code, and never NaN, infinite, null, a throw or
// a wait. What is right is asserted elsewhere; here nothing may slip out that is no number.
const awkward: Readonly<Record<string, readonly number[]>> = {
  nothing: [],
  one: [5],
  two: [5, 6],
  equal: [5, 5, 5, 5],
  "1e-300 and 1e300": [1e-300, 1e300, 1],
  huge: [1e300, 1.1e300, 1.2e300, 1.05e300],
  "at the end of the range": [1.7e308, -1.7e308, 1e308],
  tiny: [1e-300, 2e-300, 3e-300, 1.5e-300],
  subnormal: [5e-324, 1e-323, 2e-323],
  negative: [-3, -4, -2, -9],
  zeros: [0, 0, 1, 0],
  infinite: [1, Number.POSITIVE_INFINITY, 3],
  "not a number": [1, Number.NaN, 3],
  "equal but for the last bit": [1, 1 + 1e-15, 1 + 2e-15, 1],
  "equal but one": [50, 50, 50, 50, 50, 50, 50, 50, 50, 51],
};

const statistics: Readonly<Record<string, (values: readonly number[]) => Result<unknown>>> = {
  summary: (values) => summary(values),
  ...Object.fromEntries(
    lowerBoundMethods.flatMap((method) => [
      [`lowerBound ${method}`, (values: readonly number[]) => lowerBound({ values, method })],
      [
        `lowerBound ${method}, censored`,
        (values: readonly number[]) =>
          lowerBound({ values, censored: values.map((_, i) => i % 2 === 1), method }),
      ],
    ]),
  ),
  ...Object.fromEntries(
    families.flatMap((family) => [
      [`fitFamily ${family}`, (values: readonly number[]) => fitFamily({ values, family })],
      [
        `fitFamily ${family}, censored`,
        (values: readonly number[]) =>
          fitFamily({ values, censored: values.map((_, i) => i % 3 === 1), family }),
      ],
    ]),
  ),
  fitCompare: (values) => fitCompare({ values }),
  normality: (values) => normality({ values }),
  outliers: (values) => outliers({ values }),
  equalSpread: (values) => equalSpread({ groups: [values, values.map((v) => v * 1.1)] }),
  samePopulation: (values) => samePopulation({ groups: [values, values.map((v) => v * 1.1)], resamples: 99 }),
  compareTwo: (values) => compareTwo({ a: values, b: values.map((v) => v * 1.1) }),
  "compareTwo with others": (values) => compareTwo({ a: values, b: [1, 2, 4] }),
  compareMany: (values) => compareMany({ groups: [values, values.map((v) => v * 1.1), [1, 2, 3]] }),
  "linearModel, as response": (values) =>
    linearModel({ columns: { x: values.map((_, i) => i) }, response: values }),
  "linearModel, as column": (values) =>
    linearModel({ columns: { x: values }, response: values.map((_, i) => i * i) }),
  mixedModel: (values) => mixedModel({ response: values, fixed: {}, group: values.map((_, i) => i % 2) }),
  pool: (values) => pool({ estimates: values, standardErrors: values.map(() => 1) }),
  "pool, as errors": (values) => pool({ estimates: values.map((_, i) => i), standardErrors: values }),
  "claim of a mean": (values) => claim({ values, claimed: 4, kind: "mean" }),
  "claim of a least value": (values) => claim({ values, claimed: 4, kind: "least" }),
  "bootstrap mean": (values) => bootstrap({ values, statistic: "mean", resamples: 200 }),
  "bootstrap cv": (values) => bootstrap({ values, statistic: "cv", resamples: 200 }),
  survivalCurve: (values) => survivalCurve({ values }),
  standardUncertainty: (values) => standardUncertainty({ form: "readings", values }),
};

/** Paths to whatever is no finite number. */
function leaks(value: unknown, path = "value"): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [`${path} is ${value}`];
  if (value === null) return [`${path} is null`];
  if (typeof value !== "object") return [];
  return Object.entries(value).flatMap(([key, item]) => leaks(item, `${path}.${key}`));
}

describe("no statistic lets through what is no number", () => {
  it.each(Object.entries(statistics))("%s", (_, statistic) => {
    for (const [name, values] of Object.entries(awkward)) {
      const answer = statistic(values);
      expect(answer.ok ? leaks(answer.value, name) : []).toEqual([]);
      if (!answer.ok) expect(answer.problems.map(({ code }) => code)).not.toEqual([]);
    }
  });

  it("power at sizes that no bench has", () => {
    for (const n of [2, 100_000]) {
      const many = power({ kind: "many", n, means: [1, 1e9], sd: 1e-3 });
      expect(many.ok && many.value.power).toBeCloseTo(1, 6);
      const two = power({ kind: "two", n, difference: 1e10, sd: 1e-10 });
      expect(two.ok && two.value.power).toBeCloseTo(1, 6);
    }
  });
});
