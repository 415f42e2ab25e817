import { describe, expect, it } from "vitest";
import {
  betaRegularized,
  betaTails,
  binomialAtLeast,
  chiSquaredQuantile,
  chiSquaredTails,
  createRandom,
  erf,
  erfc,
  fQuantile,
  fTails,
  gammaRegularizedLower,
  gammaRegularizedUpper,
  logGamma,
  nonCentralFUpper,
  nonCentralTCdf,
  nonCentralTQuantile,
  nonCentralTTails,
  normalCdf,
  normalQuantile,
  studentizedRangeCdf,
  studentizedRangeQuantile,
  studentTCdf,
  studentTQuantile,
  studentTTails,
} from "../mod.ts";

/** Relative distance, or the distance itself from zero. */
function off(got: number, expected: number): number {
  return expected === 0 ? Math.abs(got) : Math.abs(got / expected - 1);
}

// mpmath 1.2.1 with 34 digits; arguments as the functions take them.
const cases: readonly [
  name: string,
  f: (...args: never[]) => number,
  args: readonly number[],
  expected: number,
][] = [
  ["normalCdf", normalCdf, [-37.5], 4.605353009581955e-308],
  ["normalCdf", normalCdf, [-20.0], 2.7536241186062337e-89],
  ["normalCdf", normalCdf, [-8.0], 6.220960574271784e-16],
  ["normalCdf", normalCdf, [-1.5], 0.06680720126885807],
  ["normalCdf", normalCdf, [2.5], 0.9937903346742238],
  ["normalQuantile", normalQuantile, [1e-300], -37.0470962993612],
  ["normalQuantile", normalQuantile, [1e-100], -21.273453560965326],
  ["normalQuantile", normalQuantile, [1e-20], -9.262340089798407],
  ["normalQuantile", normalQuantile, [1e-6], -4.753424308822899],
  ["normalQuantile", normalQuantile, [0.025], -1.9599639845400543],
  ["normalQuantile", normalQuantile, [0.3], -0.5244005127080408],
  ["normalQuantile", normalQuantile, [0.975], 1.9599639845400538],
  ["normalQuantile", normalQuantile, [0.999999], 4.753424308817087],
  ["nonCentralTCdf", nonCentralTCdf, [1.0, 5, 0.5], 0.6665357026872717],
  ["nonCentralTCdf", nonCentralTCdf, [3.0, 1, 2.0], 0.5248571617336879],
  ["nonCentralTCdf", nonCentralTCdf, [-1.0, 8, 1.0], 0.027810284396875374],
  ["nonCentralTCdf", nonCentralTCdf, [6.0, 4, 2.8], 0.8992362591313242],
  ["nonCentralTCdf", nonCentralTCdf, [2.0, 60, 2.5], 0.3084847193108906],
  ["nonCentralTCdf", nonCentralTCdf, [25.0, 19, 20.0], 0.8710704044572694],
  ["nonCentralTCdf", nonCentralTCdf, [40.0, 3, 10.0], 0.9790484388818186],
  ["nonCentralTQuantile", nonCentralTQuantile, [0.95, 1, 1.8], 28.91594934042264],
  ["nonCentralTQuantile", nonCentralTQuantile, [0.95, 4, 2.87], 7.626876321223228],
  ["nonCentralTQuantile", nonCentralTQuantile, [0.05, 9, 4.0], 2.2047139886012523],
  ["nonCentralTQuantile", nonCentralTQuantile, [0.99, 29, 7.0], 11.09227705218376],
  ["nonCentralTQuantile", nonCentralTQuantile, [0.5, 5, 3.0], 3.1832518215576346],
  ["nonCentralTQuantile", nonCentralTQuantile, [0.9, 59, 10.0], 11.94743713391859],
  ["studentizedRangeCdf", studentizedRangeCdf, [3.5, 3, 12], 0.9300045147248136],
  ["studentizedRangeCdf", studentizedRangeCdf, [2.0, 2, 4], 0.769800358919501],
  ["studentizedRangeCdf", studentizedRangeCdf, [4.0, 5, 20], 0.9304128560769571],
  ["studentizedRangeCdf", studentizedRangeCdf, [6.5, 4, 3], 0.9431621292844642],
  ["studentizedRangeCdf", studentizedRangeCdf, [1.0, 3, 60], 0.2397531035733923],
  ["studentizedRangeCdf", studentizedRangeCdf, [8.0, 10, 2], 0.8567005598352997],
  ["studentizedRangeQuantile", studentizedRangeQuantile, [0.95, 3, 6], 4.339195476520309],
  ["studentizedRangeQuantile", studentizedRangeQuantile, [0.95, 4, 10], 4.3265821157312265],
  ["studentizedRangeQuantile", studentizedRangeQuantile, [0.99, 3, 20], 4.639220082834274],
  ["studentizedRangeQuantile", studentizedRangeQuantile, [0.9, 6, 5], 4.978951082595451],
  ["studentizedRangeQuantile", studentizedRangeQuantile, [0.95, 2, 8], 3.261182322894172],
  ["betaRegularized", betaRegularized, [0.3, 2.0, 5.0], 0.5798249999999999],
  ["betaRegularized", betaRegularized, [0.01, 0.5, 0.5], 0.06376856085851985],
  ["betaRegularized", betaRegularized, [0.99, 10.0, 1.5], 0.9766270861567057],
  ["betaRegularized", betaRegularized, [0.5, 30.0, 30.0], 0.5],
  ["betaRegularized", betaRegularized, [1e-5, 2.0, 3.0], 5.999920000300001e-10],
  ["gammaRegularizedLower", gammaRegularizedLower, [0.5, 0.1], 0.345279153981423],
  ["gammaRegularizedLower", gammaRegularizedLower, [2.0, 3.0], 0.8008517265285442],
  ["gammaRegularizedLower", gammaRegularizedLower, [10.0, 4.0], 0.008132242796933864],
  ["gammaRegularizedLower", gammaRegularizedLower, [30.0, 31.0], 0.5953478209656109],
  ["gammaRegularizedLower", gammaRegularizedLower, [100.0, 80.0], 0.017108313035133115],
  ["gammaRegularizedUpper", gammaRegularizedUpper, [0.5, 40.0], 3.744097384202899e-19],
  ["gammaRegularizedUpper", gammaRegularizedUpper, [3.0, 20.0], 4.555149505589213e-7],
  ["gammaRegularizedUpper", gammaRegularizedUpper, [10.0, 60.0], 2.85150775555202e-16],
];

describe("special functions and distributions", () => {
  // 1e-12: the functions promise some 1e-13, and an argument near 1e-300 loses a digit by itself.
  it.each(cases)("%s %#", (_, f, args, expected) => {
    expect(off((f as (...args: readonly number[]) => number)(...args), expected)).toBeLessThan(1e-12);
  });

  // mpmath 1.3.0 with 25 digits.
  it("gives the error function in both tails", () => {
    expect(off(erf(1e-5), 1.1283791670579e-5)).toBeLessThan(5e-16);
    expect(off(erf(0.3), 0.3286267594591274)).toBeLessThan(5e-16);
    expect(off(erf(0.46), 0.4846553900016797)).toBeLessThan(5e-16);
    expect(off(erf(0.48), 0.5027496706947648)).toBeLessThan(5e-16);
    expect(off(erf(1.7), 0.9837904585907745)).toBeLessThan(5e-16);
    expect(off(erf(3.9), 0.9999999652077514)).toBeLessThan(5e-16);
    expect(off(erf(4.1), 0.9999999932999724)).toBeLessThan(5e-16);
    expect(off(erfc(-2), 1.9953222650189526)).toBeLessThan(2e-15);
    expect(off(erfc(0.4), 0.5716076449533315)).toBeLessThan(2e-15);
    expect(off(erfc(0.9), 0.20309178757716786)).toBeLessThan(2e-15);
    expect(off(erfc(3.99), 1.6739211364520814e-8)).toBeLessThan(2e-15);
    expect(off(erfc(4.01), 1.4196939421371052e-8)).toBeLessThan(2e-15);
    expect(off(erfc(12), 1.3562611692059042e-64)).toBeLessThan(2e-15);
    expect(off(erfc(26.5), 2.2109076642637343e-307)).toBeLessThan(2e-15);
  });

  it("gives the logarithm of the gamma function", () => {
    expect(logGamma(1)).toBeCloseTo(0, 14);
    expect(off(logGamma(0.5), 0.5 * Math.log(Math.PI))).toBeLessThan(1e-14);
    expect(off(logGamma(0.01), 4.599479878042022)).toBeLessThan(1e-14);
    expect(off(logGamma(3.3), 0.9870985778947344)).toBeLessThan(1e-14);
    expect(off(logGamma(9.99), 12.779315214350193)).toBeLessThan(1e-14);
    expect(off(logGamma(10.01), 12.824350262448247)).toBeLessThan(1e-14);
    expect(off(logGamma(250.5), 1131.2840013322552)).toBeLessThan(1e-14);
    expect(off(logGamma(1000000.0), 12815504.569147613)).toBeLessThan(1e-14);
  });

  it("gives Student's t in closed forms", () => {
    // df = 1 and 2: Abramowitz and Stegun 26.7.3 and 26.7.4.
    for (const t of [-40, -1.2, 0.3, 7]) {
      expect(studentTCdf(t, 1)).toBeCloseTo(0.5 + Math.atan(t) / Math.PI, 14);
      expect(studentTCdf(t, 2)).toBeCloseTo(0.5 + t / (2 * Math.sqrt(2 + t * t)), 14);
    }
    for (const p of [1e-12, 0.003, 0.4, 0.75, 0.9999]) {
      const a = 4 * p * (1 - p);
      expect(off(studentTQuantile(p, 2), (2 * (p - 0.5) * Math.sqrt(2)) / Math.sqrt(a))).toBeLessThan(1e-12);
    }
  });

  it("gives Student's t at any number of degrees of freedom", () => {
    // Abramowitz and Stegun 26.7.5, its first three terms over the normal quantile.
    for (const df of [2e4, 1e5, 1e7, 1e10, 1e16, 1e100, 1e300]) {
      for (const p of [0.3, 0.01, 1e-6]) {
        const z = normalQuantile(p);
        const cube = z ** 3;
        const first = (cube + z) / 4 / df;
        const second = (5 * z ** 5 + 16 * cube + 3 * z) / 96 / df / df;
        const third = (3 * z ** 7 + 19 * z ** 5 + 17 * cube - 15 * z) / 384 / df / df / df;
        expect(off(studentTQuantile(p, df), z + first + second + third)).toBeLessThan(2e-14);
      }
    }
    // Both ways of working it out, one on either side of 20,000 degrees, in the far tail as well.
    for (const t of [0.1, 2, 9, 30]) {
      const [below, above] = [studentTTails(-t, 19_999.999999999).lower, studentTTails(-t, 20_000).lower];
      expect(off(below, above)).toBeLessThan(2e-11);
    }
  });

  it("gives chi-squared in closed forms", () => {
    // df = 2: exp(−x/2).
    for (const x of [0.01, 3, 90, 700])
      expect(off(chiSquaredTails(x, 2).upper, Math.exp(-x / 2))).toBeLessThan(1e-13);
    for (const p of [1e-14, 0.2, 0.999]) {
      expect(off(chiSquaredQuantile(p, 2), -2 * Math.log1p(-p))).toBeLessThan(1e-12);
    }
  });

  it("gives F and the binomial law in closed forms", () => {
    // df1 = 2: (1 + 2x/df2)^(−df2/2).
    for (const df2 of [3, 40, 1e5]) {
      expect(off(fTails(2.5, 2, df2).upper, (1 + 5 / df2) ** (-df2 / 2))).toBeLessThan(
        1e-9 / 100 + 1e-16 * df2,
      );
    }
    expect(fQuantile(0.5, 7, 7)).toBeCloseTo(1, 13);
    // 1 − 0.9^29 and the ten terms of n = 3.
    expect(binomialAtLeast(1, 29, 0.1)).toBeCloseTo(1 - 0.9 ** 29, 14);
    expect(binomialAtLeast(2, 3, 0.3)).toBeCloseTo(3 * 0.09 * 0.7 + 0.027, 14);
    expect(binomialAtLeast(0, 3, 0.3)).toBe(1);
    expect(binomialAtLeast(4, 3, 0.3)).toBe(0);
  });

  it("gives the non-central laws their central ones and their moments", () => {
    expect(nonCentralTCdf(1.3, 7, 0)).toBeCloseTo(studentTCdf(1.3, 7), 13);
    expect(nonCentralFUpper(2.1, 3, 11, 0)).toBeCloseTo(fTails(2.1, 3, 11).upper, 14);
    // t² of one is F of the other: P(|T| > t) = P(F > t²).
    const beyond = 1 - nonCentralTCdf(2.2, 9, 1.7) + nonCentralTCdf(-2.2, 9, 1.7);
    expect(nonCentralFUpper(2.2 ** 2, 1, 9, 1.7 ** 2)).toBeCloseTo(beyond, 12);
  });

  it("keeps the digits of tails at large numbers", () => {
    // Symmetry: I(x; a, b) + I(1 − x; b, a) = 1, and ½ at the middle.
    expect(betaRegularized(0.5, 1e6, 1e6)).toBeCloseTo(0.5, 10);
    const { lower, upper } = betaTails(1e-9, 1 - 1e-9, 0.5, 2e5);
    expect(lower + upper).toBeCloseTo(1, 14);
    expect(gammaRegularizedLower(5e5, 5e5) + gammaRegularizedUpper(5e5, 5e5)).toBeCloseTo(1, 14);
    // P(a, a) = ½ + 1/(3√(2πa)) + O(a^−3/2): DLMF 8.11.12.
    expect(gammaRegularizedUpper(5e5, 5e5)).toBeCloseTo(0.5 - 1 / (3 * Math.sqrt(2 * Math.PI * 5e5)), 9);
    // Two groups: the range of two is √2 |t|.
    expect(studentizedRangeCdf(3 * Math.SQRT2, 2, 8)).toBeCloseTo(1 - 2 * studentTCdf(-3, 8), 13);
  });

  it("finds the quantile of the non-central t where its tails, summed by themselves, say that it lies", () => {
    const random = createRandom(3);
    for (let round = 0; round < 400; round++) {
      const df = 1 + Math.floor(Math.exp(7 * random.uniform()));
      const ncp = (random.uniform() - 0.3) * Math.exp(4 * random.uniform());
      const p = random.uniform() < 0.5 ? random.uniform() : Math.exp(-12 * random.uniform());
      const { lower, upper } = nonCentralTTails(nonCentralTQuantile(p, df, ncp), df, ncp);
      // A last digit of the quantile is some of the tail's, the more the farther out.
      if (p < 0.5) expect(off(lower, p)).toBeLessThan(1e-12);
      else expect(off(upper, 1 - p)).toBeLessThan(1e-12);
    }
  });

  it("ends where the line ends", () => {
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalQuantile(0.5)).toBe(0);
    expect(studentizedRangeQuantile(0, 3, 5)).toBe(0);
    expect(nonCentralTQuantile(1, 5, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalCdf(40)).toBe(1);
  });
});

describe("the studentized range", () => {
  // Harter (1960); Pearson and Hartley, Biometrika Tables, Table 29 (three decimals, some of them one off).
  it.each([
    [0.95, 3, 10, 3.877],
    [0.95, 4, 16, 4.046],
    [0.95, 3, 20, 3.578],
    [0.95, 2, 5, 3.635],
    [0.99, 3, 10, 5.27],
    [0.99, 5, 20, 5.294],
    [0.95, 4, 20, 3.958],
    [0.95, 6, 30, 4.302],
    [0.95, 5, 10, 4.654],
    [0.95, 20, 120, 5.126],
    [0.99, 6, 24, 5.374],
  ])("p = %d, %d groups, %d degrees of freedom: %d", (p, groups, df, quantile) => {
    expect(Math.abs(studentizedRangeQuantile(p, groups, df) - quantile)).toBeLessThan(0.0016);
  });
});
