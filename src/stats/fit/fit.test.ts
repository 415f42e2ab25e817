import { describe, expect, it } from "vitest";
import { weibullQuantile } from "../distributions/weibull.ts";
import { createRandom } from "../random/random.ts";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { estimateFamily, fitFamily } from "./fit.ts";
import { fitCompare } from "./fit-compare.ts";

// Parameters and log-likelihood: maximum likelihood in mpmath, checked with R 4.2.2, survival 3.5.3, survreg. Intervals: roots of the
// profile likelihood in mpmath. Anderson-Darling: R's nortest 1.0.4, ad.test.
const computed = [
  {
    input: { values: [52.85, 53.98, 55.81, 52.45, 50.74], family: "normal" },
    expected: {
      parameters: { mean: 53.166, sd: 1.6823388481515844 },
      logLikelihood: -9.69561764983171,
      aicc: 29.39123529966342,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [50.56, 52.11, 51.16, 53.39, 49.02, 49.63, 56.09, 48.7, 52.59, 46.27, 49.42, 51.31],
      family: "normal",
    },
    expected: {
      parameters: { mean: 50.854166666666664, sd: 2.4392125038398946 },
      logLikelihood: -27.727365313064542,
      aicc: 60.78806395946242,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [50.56, 52.11, 51.16, 53.39, 49.02, 49.63, 56.09, 48.7, 52.59, 46.27, 49.42, 51.31],
      family: "normal",
    },
    expected: { andersonDarling: { statistic: 0.17671335293148557, p: 0.8985048541557399 } },
    relative: 1e-8,
  },
  {
    input: {
      values: [
        45.3, 52.2, 49.4, 46.1, 47.3, 46.8, 46.9, 46.1, 53.8, 44.0, 54.6, 46.6, 43.8, 48.8, 50.8, 48.3, 48.3,
        41.2, 46.2, 41.1, 42.5, 47.6, 50.3, 48.9, 48.7, 47.8, 44.5, 46.8, 52.5, 55.1, 49.8, 46.9, 52.1, 47.3,
        48.4, 49.8, 48.2, 44.6, 45.2, 49.6,
      ],
      family: "normal",
    },
    expected: {
      parameters: { mean: 47.855, sd: 3.2538400390922724 },
      logLikelihood: -103.95097530219284,
      aicc: 212.22627492871,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [
        45.3, 52.2, 49.4, 46.1, 47.3, 46.8, 46.9, 46.1, 53.8, 44.0, 54.6, 46.6, 43.8, 48.8, 50.8, 48.3, 48.3,
        41.2, 46.2, 41.1, 42.5, 47.6, 50.3, 48.9, 48.7, 47.8, 44.5, 46.8, 52.5, 55.1, 49.8, 46.9, 52.1, 47.3,
        48.4, 49.8, 48.2, 44.6, 45.2, 49.6,
      ],
      family: "normal",
    },
    expected: { andersonDarling: { statistic: 0.2524424236309342, p: 0.719709212516703 } },
    relative: 1e-8,
  },
  {
    input: { values: [51.11, 51.18, 50.45, 53.88, 51.86, 51.63, 48.79, 46.18], family: "lognormal" },
    expected: {
      parameters: { meanLog: 3.923724244826223, sdLog: 0.0431225535276044 },
      logLikelihood: -17.59162914397125,
      aicc: 41.5832582879425,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [
        36.22, 38.53, 31.6, 32.53, 26.87, 28.48, 35.53, 28.36, 29.92, 42.91, 34.32, 29.43, 29.37, 34.21,
        45.16, 40.32, 27.78, 29.84, 33.18, 31.74, 36.71, 32.07, 33.26, 36.88, 33.9,
      ],
      family: "lognormal",
    },
    expected: {
      parameters: { meanLog: 3.5045186119933867, sdLog: 0.13247839274612686 },
      logLikelihood: -72.55303561825288,
      aicc: 149.6515257819603,
    },
    relative: 1e-7,
  },
  {
    input: { values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34], family: "weibull" },
    expected: {
      parameters: { shape: 18.749282129627495, scale: 56.0098817753595 },
      logLikelihood: -16.26663267246146,
      aicc: 40.53326534492292,
    },
    relative: 1e-7,
  },
  {
    input: { values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34], family: "weibull" },
    expected: {
      intervals: {
        shape: [8.492111133641451, 33.86263491363115],
        scale: [52.927911090942516, 59.1262587963325],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        56.46, 44.63, 55.73, 48.31, 49.79, 55.17, 49.73, 50.96, 53.97, 56.2, 52.8, 48.63, 56.93, 57.26, 55.38,
        55.57, 43.26, 53.47, 55.17, 53.69,
      ],
      family: "weibull",
    },
    expected: {
      parameters: { shape: 18.46899118008635, scale: 54.34713075535851 },
      logLikelihood: -53.682877809136954,
      aicc: 112.07163797121508,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [
        56.46, 44.63, 55.73, 48.31, 49.79, 55.17, 49.73, 50.96, 53.97, 56.2, 52.8, 48.63, 56.93, 57.26, 55.38,
        55.57, 43.26, 53.47, 55.17, 53.69,
      ],
      family: "weibull",
    },
    expected: {
      intervals: {
        shape: [12.355743270542543, 26.14700459874092],
        scale: [52.886709644288345, 55.76205048152612],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        7.24, 6.02, 13.45, 3.26, 11.62, 4.73, 15.53, 11.94, 10.44, 7.66, 8.62, 13.52, 16.79, 14.04, 12.01,
        7.65, 9.68, 5.16, 9.41, 11.85, 9.9, 6.94, 11.9, 14.93, 14.57, 7.69, 14.17, 12.98, 12.28, 5.35, 13.41,
        16.13, 13.79, 9.13, 19.73, 16.62, 4.11, 11.5, 17.61, 7.33, 8.97, 8.99, 3.6, 4.9, 13.71, 11.54, 15.53,
        13.35, 8.68, 9.15, 18.13, 3.71, 3.26, 7.35, 10.33, 5.13, 11.14, 3.41, 13.99, 18.98,
      ],
      family: "weibull",
    },
    expected: {
      parameters: { shape: 2.6929156195253476, scale: 11.916342994532434 },
      logLikelihood: -171.7276125468517,
      aicc: 347.6657514094929,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [
        7.24, 6.02, 13.45, 3.26, 11.62, 4.73, 15.53, 11.94, 10.44, 7.66, 8.62, 13.52, 16.79, 14.04, 12.01,
        7.65, 9.68, 5.16, 9.41, 11.85, 9.9, 6.94, 11.9, 14.93, 14.57, 7.69, 14.17, 12.98, 12.28, 5.35, 13.41,
        16.13, 13.79, 9.13, 19.73, 16.62, 4.11, 11.5, 17.61, 7.33, 8.97, 8.99, 3.6, 4.9, 13.71, 11.54, 15.53,
        13.35, 8.68, 9.15, 18.13, 3.71, 3.26, 7.35, 10.33, 5.13, 11.14, 3.41, 13.99, 18.98,
      ],
      family: "weibull",
    },
    expected: {
      intervals: {
        shape: [2.173792733189645, 3.2734675748821425],
        scale: [10.753551942954164, 13.1522762099247],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [57.65, 53.08, 48.67, 56.83, 54.45, 53.28, 49.25, 53.82],
      censored: [false, true, false, false, false, false, false, true],
      family: "normal",
    },
    expected: {
      parameters: { mean: 54.132582796469116, sd: 3.4431713566274555 },
      logLikelihood: -17.160682858594768,
      aicc: 40.721365717189535,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [
        46.48, 44.24, 60.66, 55.47, 50.76, 51.96, 56.34, 56.2, 53.03, 54.39, 48.47, 51.34, 55.58, 45.76,
        54.64, 52.68, 53.73, 54.51, 59.38, 50.01,
      ],
      censored: [
        true,
        true,
        false,
        false,
        false,
        false,
        false,
        false,
        true,
        true,
        true,
        false,
        false,
        true,
        false,
        false,
        false,
        false,
        false,
        false,
      ],
      family: "normal",
    },
    expected: {
      parameters: { mean: 54.77742628107963, sd: 2.943894424729549 },
      logLikelihood: -36.163856470305106,
      aicc: 77.03359529355139,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [51.75, 47.34, 48.89, 45.82, 50.86, 53.73, 49.14, 48.2, 47.96, 44.51],
      censored: [true, true, false, false, true, false, false, false, false, false],
      family: "lognormal",
    },
    expected: {
      parameters: { meanLog: 3.9023108783465124, sdLog: 0.06584624412671165 },
      logLikelihood: -20.26157321427278,
      aicc: 46.237432142831274,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [
        41.45, 51.63, 48.5, 53.33, 48.65, 45.26, 50.89, 44.11, 50.98, 42.43, 47.67, 51.99, 49.9, 48.18, 43.52,
        50.46, 50.91, 49.59, 44.35, 49.55, 52.49, 53.48, 48.55, 50.72, 50.75, 51.45, 49.2, 47.07, 42.78,
        43.99,
      ],
      censored: [
        true,
        false,
        false,
        false,
        false,
        true,
        false,
        true,
        false,
        true,
        true,
        false,
        true,
        false,
        false,
        false,
        false,
        false,
        true,
        false,
        false,
        true,
        false,
        false,
        false,
        false,
        false,
        false,
        true,
        false,
      ],
      family: "lognormal",
    },
    expected: {
      parameters: { meanLog: 3.9111468329043153, sdLog: 0.05317731307116223 },
      logLikelihood: -52.58290078651289,
      aicc: 109.61024601747022,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [50.01, 47.39, 53.7, 54.67, 44.28, 53.86, 50.64],
      censored: [false, false, false, true, true, false, false],
      family: "weibull",
    },
    expected: {
      parameters: { shape: 21.361475367653057, scale: 53.21617262291022 },
      logLikelihood: -13.771252571826631,
      aicc: 34.54250514365326,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [50.01, 47.39, 53.7, 54.67, 44.28, 53.86, 50.64],
      censored: [false, false, false, true, true, false, false],
      family: "weibull",
    },
    expected: {
      intervals: {
        shape: [9.165431185532507, 40.68333296883549],
        scale: [50.749349631206385, 56.48592163758176],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        50.67, 43.61, 47.39, 52.65, 57.07, 49.9, 51.87, 57.57, 55.85, 58.18, 53.03, 49.73, 50.13, 54.83,
        53.99,
      ],
      censored: [
        true,
        true,
        false,
        false,
        false,
        true,
        false,
        true,
        false,
        false,
        false,
        false,
        false,
        false,
        false,
      ],
      family: "weibull",
    },
    expected: {
      parameters: { shape: 18.77726628894944, scale: 55.32045136572958 },
      logLikelihood: -31.02991903242423,
      aicc: 67.05983806484846,
    },
    relative: 1e-7,
  },
  {
    input: {
      values: [
        50.67, 43.61, 47.39, 52.65, 57.07, 49.9, 51.87, 57.57, 55.85, 58.18, 53.03, 49.73, 50.13, 54.83,
        53.99,
      ],
      censored: [
        true,
        true,
        false,
        false,
        false,
        true,
        false,
        true,
        false,
        false,
        false,
        false,
        false,
        false,
        false,
      ],
      family: "weibull",
    },
    expected: {
      intervals: {
        shape: [11.301410104452492, 28.419289735701465],
        scale: [53.477331178043215, 57.39221960074997],
      },
    },
    relative: 1e-6,
  },
  {
    input: {
      values: [
        47.36, 50.55, 55.61, 47.37, 56.29, 52.56, 56.18, 52.54, 50.16, 53.4, 56.4, 46.26, 51.02, 46.79, 49.01,
        52.8, 54.38, 48.56, 54.88, 49.93, 55.79, 53.77, 54.57, 55.04, 55.23, 50.21, 49.11, 50.52, 57.77,
        50.11, 55.46, 53.24, 54.63, 55.88, 41.23, 57.4, 56.22, 57.35, 57.15, 57.69,
      ],
      censored: [
        false,
        false,
        false,
        false,
        false,
        true,
        false,
        true,
        true,
        false,
        true,
        true,
        false,
        false,
        true,
        false,
        true,
        true,
        false,
        true,
        false,
        false,
        false,
        false,
        false,
        false,
        true,
        false,
        false,
        true,
        true,
        false,
        true,
        false,
        true,
        false,
        true,
        false,
        false,
        false,
      ],
      family: "weibull",
    },
    expected: {
      parameters: { shape: 23.545237578599856, scale: 55.83692266428516 },
      logLikelihood: -69.10921514405607,
      aicc: 142.54275461243645,
    },
    relative: 1e-7,
  },
] as const;

describe("fitFamily", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(fitFamily(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it.each([
    // NIST/SEMATECH e-Handbook 8.4.1.3: 10 failures, 10 stopped at 500 hours.
    {
      times: [
        54, 187, 216, 240, 244, 335, 361, 373, 375, 386, 500, 500, 500, 500, 500, 500, 500, 500, 500, 500,
      ],
      stopped: 10,
      shape: 1.7208,
      scale: 606.528,
      logLikelihood: -75.135,
      relative: 4e-5,
    },
    // Ball bearings, Lieblein and Zelen (1956), the variant with 48.48: Lawless; Meeker and Escobar (1998).
    {
      times: [
        17.88, 28.92, 33.0, 41.52, 42.12, 45.6, 48.48, 51.84, 51.96, 54.12, 55.56, 67.8, 68.64, 68.64, 68.88,
        84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.4,
      ],
      stopped: 0,
      shape: 2.1020588751946683,
      scale: 81.87833405162988,
      logLikelihood: -113.69129093232,
      relative: 1e-6,
    },
  ])("as published, shape $shape", ({ times, stopped, shape, scale, logLikelihood, relative }) => {
    const censored = times.map((_, i) => i >= times.length - stopped);
    const got = givenBy(fitFamily({ values: times, censored, family: "weibull" }));
    expect(disagreements(got, { parameters: { shape, scale }, logLikelihood }, relative)).toEqual([]);
  });

  it("fits times to remission, censored in between", () => {
    // Freireich et al. (1963), 6-MP arm, as in Lawless and in Cox and Oakes (1984).
    const values = [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35];
    const seen = [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0];
    const got = givenBy(fitFamily({ values, censored: seen.map((one) => one === 0), family: "weibull" }));
    const expected = {
      parameters: { shape: 1.3537345238331133, scale: 33.765150967739906 },
      logLikelihood: -41.6586784768815,
    };
    expect(disagreements(got, expected, 1e-6)).toEqual([]);
  });

  it("does not mind the unit", () => {
    // Algebra: the shape has no unit, the scale has that of the values.
    const values = [55.1, 57.32, 45.68, 55.39, 58.8, 53.34];
    const small = givenBy(fitFamily({ values: values.map((v) => v * 1e-9), family: "weibull" }));
    const large = givenBy(fitFamily({ values: values.map((v) => v * 1e9), family: "weibull" }));
    expect(small.parameters["shape"]).toBeCloseTo(18.749282129627495, 6);
    expect(large.parameters["shape"]).toBeCloseTo(18.749282129627495, 6);
    expect((large.parameters["scale"] ?? 0) / (small.parameters["scale"] ?? 1)).toBeCloseTo(1e18, -9);
  });

  it("gives Anderson-Darling of a Weibull population a p that is uniform", () => {
    // Simulation with known truth: among 400 fits to Weibull data the share below 0.1 is 0.1, within three errors.
    const random = createRandom(4);
    let below = 0;
    for (let i = 0; i < 400; i++) {
      const values = Array.from({ length: 12 }, () => weibullQuantile(random.uniform(), 15, 40));
      if ((givenBy(estimateFamily({ values, family: "weibull" })).andersonDarling?.p ?? 0) < 0.1) below += 1;
    }
    expect(Math.abs(below / 400 - 0.1)).toBeLessThan(3 * Math.sqrt(0.09 / 400));
  });

  it("refuses what cannot be fitted", () => {
    expect(codeOf(fitFamily({ values: [], family: "normal" }))).toBe("STAT_TOO_FEW");
    expect(codeOf(fitFamily({ values: [4], family: "weibull" }))).toBe("STAT_TOO_FEW");
    expect(codeOf(fitFamily({ values: [4, 4, 4], family: "weibull" }))).toBe("STAT_DEGENERATE");
    expect(codeOf(fitFamily({ values: [4, 5], censored: [true, true], family: "weibull" }))).toBe(
      "STAT_TOO_FEW",
    );
    expect(codeOf(fitFamily({ values: [0, 5], family: "lognormal" }))).toBe("STAT_VALUE");
    expect(codeOf(fitFamily({ values: [4, 5], family: "gamma" as "normal" }))).toBe("INPUT_UNKNOWN");
    expect(givenBy(fitFamily({ values: [4, 5, 6], family: "normal" })).aicc).toBeUndefined();
  });

  it("gives a number or a reason for values far apart", () => {
    for (const family of ["normal", "lognormal", "weibull"] as const) {
      const answer = fitFamily({ values: [1e-300, 1, 1e300], family });
      const numbers = answer.ok
        ? [...Object.values(answer.value.parameters), answer.value.logLikelihood]
        : [];
      expect(numbers.every(Number.isFinite)).toBe(true);
    }
  });
});

describe("fitCompare", () => {
  it("ranks by likelihood and says when the values cannot tell", () => {
    const few = givenBy(fitCompare({ values: [55.1, 57.32, 45.68, 55.39, 58.8, 53.34] }));
    expect(few.fits.map(({ difference }) => difference)).toEqual(
      [...few.fits.map(({ difference }) => difference)].sort((a, b) => a - b),
    );
    expect(few.fits.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
    // Log-likelihoods of the fits above: Weibull −16.2666; the normal one by hand, n(log(sd √2π) + ½), sd² with n.
    expect(few.fits[0]?.family).toBe("weibull");
    const random = createRandom(6);
    const skewed = Array.from({ length: 60 }, () => Math.exp(3 + 0.8 * random.normal()));
    const clear = givenBy(fitCompare({ values: skewed }));
    expect(clear.fits[0]?.family).toBe("lognormal");
    expect(clear.decided).toBe(true);
  });

  it("leaves out a family that the values rule out, and says so", () => {
    const answer = fitCompare({ values: [-1, 2, 4, 5] });
    expect(givenBy(answer).fits.map(({ family }) => family)).toEqual(["normal"]);
    expect(answer.ok && answer.warnings.length).toBeGreaterThan(0);
    expect(codeOf(fitCompare({ values: [3, 3] }))).toBe("STAT_DEGENERATE");
  });
});
