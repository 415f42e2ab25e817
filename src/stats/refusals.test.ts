import fc from "fast-check";
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

  // Lists such as a change of unit, a coarse reading or a slip of the hand leaves: few distinct values, some of them apart by
  // rounding only, some by many powers of ten.
  const odd = fc
    .record({
      size: fc.integer({ min: -110, max: 110 }),
      start: fc.oneof(
        fc.constantFrom(0, 1, 5, 20_000.00000000004),
        fc.double({ min: 0.1, max: 10, noNaN: true }),
      ),
      step: fc.oneof(
        fc.constantFrom(0, 1e-3, 1),
        fc.integer({ min: 0, max: 60 }).map((power) => 2 ** power * Number.EPSILON),
      ),
      places: fc.array(fc.integer({ min: -3, max: 12 }), { minLength: 1, maxLength: 12 }),
    })
    .map(({ size, start, step, places }) => places.map((place) => start * (1 + step * place) * 10 ** size));

  it.each(Object.entries(statistics))("%s, of lists at odds", (_, statistic) => {
    fc.assert(
      fc.property(odd, (values) => {
        const answer = statistic(values);
        expect(answer.ok ? leaks(answer.value) : []).toEqual([]);
      }),
      { numRuns: 30 },
    );
  });

  it("pools what lies close together far from zero, and refuses what vanishes beside the rest", () => {
    // By algebra: equal estimates have Q = 0, and n equal standard errors a pooled one of 1/√n.
    const estimates = new Array<number>(10).fill(942_869_463_071_921.1);
    const alike = pool({ estimates, standardErrors: estimates.map(() => 1) });
    expect(alike.ok && alike.value.heterogeneity.q).toBe(0);
    expect(alike.ok && alike.value.reml.standardError).toBeCloseTo(Math.sqrt(0.1), 14);
    const far = pool({ estimates: [0, 1], standardErrors: [5e-78, 5e-78] });
    expect(far.ok ? "answered" : far.problems[0]?.code).toBe("STAT_VALUE");
  });

  it("gives Welch's degrees of freedom whatever the size of the values", () => {
    // The same five values at any scale have the same degrees of freedom.
    const df = [1e-60, 1, 1e60].map((size) => {
      const answer = compareTwo({ a: [1, 2, 4].map((v) => v * size), b: [3, 5].map((v) => v * size) });
      return answer.ok && answer.value.welch?.df;
    });
    expect(df[0]).toBeCloseTo(df[1] as number, 10);
    expect(df[2]).toBeCloseTo(df[1] as number, 10);
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

describe("values that differ by rounding only", () => {
  // The rule is one: 32 units of the last place of the largest value. Met in a list of two forces in newtons.
  const met = [20_000.00000000004, 20_000.000000000044];
  // What needs scatter, and how many values it takes.
  const needScatter = Object.keys(statistics).filter((name) =>
    /^(lowerBound (mean|normal|lognormal|weibull|hanson-koopmans)[^,]*$|fit|normality|outliers|equalSpread|samePop|compareMany|claim|bootstrap)/.test(
      name,
    ),
  );

  it.each(needScatter)("%s is refused as for equal values", (name) => {
    const statistic = statistics[name] as (values: readonly number[]) => Result<unknown>;
    const grouped = /^(equalSpread|samePop|compareMany)/.test(name);
    fc.assert(
      fc.property(
        fc.integer({ min: -99, max: 99 }),
        fc.array(fc.integer({ min: 0, max: 31 }), { minLength: 3, maxLength: 12 }),
        (size, units) => {
          // From 1 to 2 times a power of two the last place is worth the same.
          const values = units.map((unit) => (1 + unit * Number.EPSILON) * 2 ** size);
          const answer = grouped ? refusedGroups(name, values) : statistic(values);
          expect(answer.ok ? "answered" : answer.problems[0]?.code).toBe("STAT_DEGENERATE");
        },
      ),
      { numRuns: 40 },
    );
    const answer = grouped ? refusedGroups(name, met) : statistic([...met, ...met]);
    expect(answer.ok ? "answered" : answer.problems[0]?.code).toBe("STAT_DEGENERATE");
  });

  /** The statistics of groups, of groups that are alike. */
  function refusedGroups(name: string, values: readonly number[]): Result<unknown> {
    const groups = [values, values];
    if (name === "equalSpread") return equalSpread({ groups });
    return name === "compareMany" ? compareMany({ groups }) : samePopulation({ groups, resamples: 99 });
  }

  it("have no scatter in the summary either, and no interval that is a point without a warning", () => {
    const answer = summary(met);
    expect(answer.ok && answer.value.sd).toBe(0);
    expect(answer.ok && answer.warnings.map(({ code }) => code)).toContain("STAT_DEGENERATE");
  });

  it("are no less equal in pairs: 20.1 − 10.1 and 30.2 − 20.2 differ in the last places", () => {
    const answer = compareTwo({ a: [20.1, 30.2, 5.3], b: [10.1, 20.2, -4.7], paired: true });
    expect(answer.ok && answer.value.paired).toBeUndefined();
    expect(answer.ok && answer.warnings.map(({ message }) => message).join()).toContain(
      "All pairs differ by the same",
    );
  });

  it("nor in distances from a median, of which groups of two have none but one", () => {
    // By algebra: both values lie half their difference from their median, so nothing is left within groups.
    const answer = equalSpread({
      groups: [
        [20.1, 20.4],
        [20.13, 20.47],
        [1 / 3, 2 / 7],
      ],
    });
    expect(answer.ok ? "answered" : answer.problems[0]?.message).toContain("equally far");
  });

  it("end where a scatter begins: a tenth about 1e12 stands, as NIST StRD SmLs07 asks", () => {
    const answer = fitFamily({ values: [1e12 + 0.4, 1e12 + 0.3, 1e12 + 0.5], family: "normal" });
    expect(answer.ok && answer.value.parameters["sd"]).toBeCloseTo(Math.sqrt(0.02 / 3), 4); // 1e12 has 4 digits left
  });
});
