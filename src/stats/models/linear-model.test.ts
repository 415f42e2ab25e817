import { describe, expect, it } from "vitest";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { type LinearSet, linearSets } from "../test-data/strd-linear.ts";
import { linearModel } from "./linear-model.ts";

// R 4.2.2: lm; sandwich 3.0.2, vcovHC(type = "HC3").
const computed = [
  {
    input: {
      columns: { diameter: [14.6, 22.9, 18.1, 21.9, 12.7, 21.1, 9.9, 23.3, 21.6, 22.5] },
      response: [49.12, 56.58, 55.06, 55.86, 44.03, 58.43, 40.08, 54.98, 58.65, 58.48],
    },
    expected: {
      coefficients: { intercept: 29.051784388761753, diameter: 1.276522566873714 },
      standardErrors: { intercept: 3.1528277794819908, diameter: 0.16248667741544903 },
      residualSd: 2.3434387207443437,
      rSquared: 0.8852542684446025,
      hc3: { intercept: 3.6236338602177764, diameter: 0.19112579897725 },
    },
    relative: 1e-9,
  },
  {
    input: {
      columns: {
        diameter: [
          16.2, 13.8, 18.4, 13.0, 10.7, 11.7, 17.8, 23.7, 8.4, 13.9, 11.7, 13.1, 9.5, 11.2, 9.3, 23.3, 15.4,
          15.9,
        ],
        splice: [0.0, 0.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 0.0, 1.0, 1.0, 0.0, 0.0, 1.0, 1.0],
      },
      response: [
        47.72, 45.73, 52.14, 45.79, 45.68, 42.65, 51.87, 59.96, 41.1, 46.24, 50.86, 43.71, 44.23, 43.9, 41.5,
        60.58, 50.73, 50.06,
      ],
    },
    expected: {
      coefficients: {
        intercept: 28.662038986414863,
        diameter: 1.2794337499807344,
        splice: 2.190980499942632,
      },
      standardErrors: {
        intercept: 1.9051397486730608,
        diameter: 0.1137262569051905,
        splice: 0.9713389881456157,
      },
      residualSd: 1.9312342164551657,
      rSquared: 0.8963567685012892,
      hc3: { intercept: 1.7307017239718692, diameter: 0.1177550671688648, splice: 0.9915326587288547 },
    },
    relative: 1e-9,
  },
  {
    input: {
      columns: {
        diameter: [
          19.7, 14.8, 11.7, 9.2, 21.6, 22.4, 18.2, 17.1, 8.3, 8.7, 14.6, 18.3, 11.5, 17.8, 15.4, 23.4, 13.3,
          20.0, 23.6, 17.5, 12.3, 20.4, 9.9, 18.5, 13.0, 19.2, 23.3, 9.3, 16.2, 10.0,
        ],
        splice: [
          0.0, 0.0, 1.0, 1.0, 0.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0, 1.0, 1.0, 1.0, 0.0,
          1.0, 0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0,
        ],
      },
      response: [
        52.91, 50.33, 46.29, 42.4, 56.45, 57.4, 55.72, 52.07, 40.88, 40.8, 48.4, 54.37, 46.65, 52.76, 50.99,
        60.26, 47.02, 57.27, 61.98, 52.68, 46.93, 55.62, 43.8, 50.52, 47.66, 56.35, 58.56, 40.41, 49.9, 38.03,
      ],
    },
    expected: {
      coefficients: {
        intercept: 29.11740888187603,
        diameter: 1.2823525137287062,
        splice: 1.5213560536068347,
      },
      standardErrors: {
        intercept: 1.0149236224994462,
        diameter: 0.05692150377552688,
        splice: 0.5490617074712487,
      },
      residualSd: 1.4722384409779936,
      rSquared: 0.9498351805163073,
      hc3: { intercept: 1.462964728358281, diameter: 0.06772170038355704, splice: 0.6642135529658004 },
    },
    relative: 1e-9,
  },
  {
    input: {
      columns: {
        diameter: [13.0, 13.2, 19.0, 20.3, 12.3, 21.6, 20.7, 10.2, 11.1, 21.7, 8.2, 23.4],
        splice: [0.0, 1.0, 0.0, 1.0, 1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0],
      },
      response: [47.28, 48.25, 50.93, 54.93, 46.06, 54.52, 52.92, 43.69, 44.52, 58.25, 42.65, 62.38],
    },
    expected: {
      coefficients: {
        intercept: 32.467262623137955,
        diameter: 1.1082328696099233,
        splice: 0.2499772023231192,
      },
      standardErrors: {
        intercept: 2.220343819244966,
        diameter: 0.12104842885134441,
        splice: 1.3189610197045496,
      },
      residualSd: 2.0503286718090767,
      rSquared: 0.910326411833898,
      hc3: { intercept: 1.9037753672507827, diameter: 0.142449652232258, splice: 0.7944238213729692 },
    },
    relative: 1e-9,
  },
] as const;

/** Digits in common; where the certified figure is 0, digits after the point of the absolute value. */
function digits(got: number, certified: number): number {
  const off = certified === 0 ? Math.abs(got) : Math.abs(got / certified - 1);
  return off === 0 ? 16 : -Math.log10(off);
}

function fitted({ x, y, degree, intercept }: LinearSet) {
  const columns =
    degree === undefined
      ? Object.fromEntries(x.map((column, j) => [`x${j + 1}`, column]))
      : Object.fromEntries(
          Array.from({ length: degree }, (_, j) => [
            `x${j + 1}`,
            (x[0] ?? []).map((value) => value ** (j + 1)),
          ]),
        );
  return givenBy(linearModel({ columns, response: y, intercept }));
}

describe("linearModel", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(linearModel(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it.each(linearSets)("NIST StRD $name to $digits digits", (set) => {
    const got = fitted(set);
    for (const [j, value] of Object.values(got.coefficients).entries()) {
      expect(digits(value, set.coefficients[j] ?? Number.NaN)).toBeGreaterThan(set.digits);
    }
    // An exact fit leaves some 1e-10 of standard error; NIST accepts 1e-6.
    for (const [j, value] of Object.values(got.standardErrors).entries()) {
      expect(digits(value, set.standardErrors[j] ?? Number.NaN)).toBeGreaterThan(Math.min(set.digits, 10));
    }
    expect(digits(got.residualSd, set.residualSd)).toBeGreaterThan(Math.min(set.digits, 10));
    expect(digits(got.rSquared, set.rSquared)).toBeGreaterThan(set.digits);
  });

  it("as published: the calibration of a thermometer", () => {
    // GUM H.3: y = −0.1712 + 0.00218 (t − 20 °C); at 30 °C −0.1494 with the standard uncertainty 0.0041.
    const x = [1.521, 2.012, 2.512, 3.003, 3.507, 3.999, 4.513, 5.002, 5.503, 6.01, 6.511];
    const y = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
    const got = givenBy(linearModel({ columns: { x }, response: y, at: { x: 10 } }));
    const expected = {
      coefficients: { intercept: -0.1712, x: 0.00218 },
      standardErrors: { intercept: 0.0029, x: 0.00067 },
      residualSd: 0.0035,
      prediction: { value: -0.1494, standardError: 0.0041 },
    };
    expect(disagreements(got, expected, 0, 6e-5)).toEqual([]);
  });

  it("is not led astray by an axis of epoch seconds", () => {
    // Algebra: y = 3 + 1.25 (x − 1.7e9) exactly.
    const x = Array.from({ length: 20 }, (_, i) => 1_700_000_000 + i * 0.01);
    const got = givenBy(
      linearModel({ columns: { x }, response: x.map((value) => 3 + 1.25 * (value - 1_700_000_000)) }),
    );
    // The axis itself is rounded to 2e-7 over a width of 0.2.
    expect(got.coefficients["x"]).toBeCloseTo(1.25, 5);
  });

  it("refuses", () => {
    const response = [1, 2, 4, 3];
    expect(codeOf(linearModel({ columns: { a: [1, 2, 3, 4], b: [2, 4, 6, 8] }, response }))).toBe(
      "STAT_DEGENERATE",
    );
    expect(codeOf(linearModel({ columns: { a: [5, 5, 5, 5] }, response }))).toBe("STAT_DEGENERATE");
    expect(codeOf(linearModel({ columns: { a: [1, 2, 3] }, response }))).toBe("INPUT_FIELD");
    expect(codeOf(linearModel({ columns: { intercept: [1, 2, 3, 4] }, response }))).toBe("INPUT_FIELD");
    expect(codeOf(linearModel({ columns: { a: [1, 2] }, response: [1, 2] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(linearModel({ columns: { a: [1, Number.NaN, 3, 4] }, response }))).toBe("STAT_VALUE");
    expect(codeOf(linearModel({ columns: { a: [1, 2, 3, 5] }, response, at: {} }))).toBe("INPUT_FIELD");
    const answer = linearModel({ columns: { a: [0, 0, 0, 1] }, response });
    expect(givenBy(answer).hc3).toBeUndefined();
    expect(answer.ok && answer.warnings[0]?.code).toBe("STAT_DEGENERATE");
  });
});
