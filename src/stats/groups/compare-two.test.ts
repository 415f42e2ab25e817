import { describe, expect, it } from "vitest";
import { createRandom } from "../random/random.ts";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { carMileage } from "../test-data/car-mileage.ts";
import { compareTwo } from "./compare-two.ts";
import { mannWhitney } from "./mann-whitney.ts";

// Welch: R 4.2.2, t.test. Permutation and Mann-Whitney: all splits, in exact whole numbers.
const computed = [
  {
    input: { a: [56.63, 50.2, 54.82], b: [55.88, 53.85, 54.71] },
    expected: {
      welch: {
        difference: -0.93,
        interval: [-8.367324862997977, 6.507324862997977],
        t: -0.46437223189263394,
        df: 2.3743985904237803,
        p: 0.6815482664182357,
      },
      permutation: { p: 0.9 },
      mannWhitney: { u: 5.0, p: 1.0 },
    },
    relative: 1e-9,
  },
  {
    input: { a: [56.6, 51.19, 50.8, 54.1], b: [54.91, 52.93, 51.13, 58.54] },
    expected: {
      welch: {
        difference: -1.205,
        interval: [-6.348744032798286, 3.938744032798285],
        t: -0.5765475995069568,
        df: 5.860598467769331,
        p: 0.5856900259196713,
      },
      permutation: { p: 0.5428571428571428 },
      mannWhitney: { u: 6.0, p: 0.6857142857142857 },
    },
    relative: 1e-9,
  },
  {
    input: { a: [52.18, 50.84, 55.75, 52.19, 48.38], b: [53.09, 52.2, 53.56, 48.76, 54.09, 53.82] },
    expected: {
      welch: {
        difference: -0.7186666666666667,
        interval: [-4.103330100395212, 2.6659967670618787],
        t: -0.4978449308172118,
        df: 7.306368641840573,
        p: 0.6332270000533039,
      },
      permutation: { p: 0.6147186147186147 },
      mannWhitney: { u: 9.0, p: 0.329004329004329 },
    },
    relative: 1e-9,
  },
  {
    input: { a: [49.0, 47.0, 49.0, 51.0, 51.0], b: [55.0, 54.0, 55.0, 50.0, 54.0] },
    expected: {
      welch: {
        difference: -4.2,
        interval: [-6.969417185792887, -1.430582814207113],
        t: -3.524561704846094,
        df: 7.6581845803266235,
        p: 0.008359106426890469,
      },
      permutation: { p: 0.023809523809523808 },
      mannWhitney: { u: 2.0, p: 0.023809523809523808 },
    },
    relative: 1e-9,
  },
  {
    input: {
      a: [48.5, 53.3, 48.3, 50.9, 55.1, 54.1, 53.8, 50.6],
      b: [51.6, 50.9, 49.9, 50.0, 50.0, 50.7, 48.6, 49.7],
    },
    expected: {
      welch: {
        difference: 1.65,
        interval: [-0.5750621637168453, 3.875062163716845],
        t: 1.6882690495365682,
        df: 8.63853127729361,
        p: 0.1270397013770506,
      },
      permutation: { p: 0.11437451437451437 },
      mannWhitney: { u: 43.5, p: 0.2449106449106449 },
    },
    relative: 1e-9,
  },
  {
    input: { a: [51.0, 50.0, 50.0, 51.0], b: [49.0, 48.0, 48.0, 51.0] },
    expected: {
      welch: {
        difference: 1.5,
        interval: [-0.6262462304772121, 3.626246230477212],
        t: 1.9639610121239315,
        df: 3.972972972972973,
        p: 0.12148566142434442,
      },
      permutation: { p: 0.17142857142857143 },
      mannWhitney: { u: 13.0, p: 0.17142857142857143 },
    },
    relative: 1e-9,
  },
  {
    input: {
      a: [49.59, 55.09, 58.16, 52.09, 49.91, 53.68],
      b: [51.67, 50.2, 44.44, 55.22, 44.33, 53.36, 38.93, 42.02, 53.66, 49.71],
    },
    expected: {
      welch: {
        difference: 4.732666666666667,
        interval: [0.004838959356940925, 9.460494373976392],
        t: 2.14705796494663,
        df: 13.994714495071136,
        p: 0.04979610212085476,
      },
      permutation: { p: 0.08416583416583416 },
      mannWhitney: { u: 44.0, p: 0.1471028971028971 },
    },
    relative: 1e-9,
  },
  {
    input: {
      a: [57.83, 59.83, 63.1, 61.3, 66.93, 59.28, 60.15],
      b: [51.67, 50.33, 55.36, 51.58, 52.26, 50.46, 56.01],
    },
    expected: {
      welch: {
        difference: 8.678571428571429,
        interval: [5.544750337784441, 11.812392519358417],
        t: 6.084938736655923,
        df: 11.154829669537202,
        p: 7.450604277771507e-5,
      },
      permutation: { p: 0.0005827505827505828 },
      mannWhitney: { u: 49.0, p: 0.0005827505827505828 },
    },
    relative: 1e-9,
  },
] as const;

/** Cushny and Peebles (1905), as in Student (1908): hours of sleep gained. */
const sleep = {
  a: [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2],
  b: [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
};

describe("compareTwo", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(compareTwo(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("as published: the sleep data, unpaired and paired", () => {
    // R documentation of t.test: t = −1.8608, df = 17.776, p = 0.07939; paired t = −4.0621, df = 9, p = 0.002833.
    const got = givenBy(compareTwo({ ...sleep, paired: true }));
    const welch = { t: -1.8608, df: 17.776, p: 0.07939, interval: [-3.3654832, 0.2054832] };
    expect(disagreements(got.welch, welch, 0, 5e-4)).toEqual([]);
    const paired = { t: -4.0621, df: 9, p: 0.002833, interval: [-2.4598858, -0.7001142] };
    expect(disagreements(got.paired, paired, 2e-4)).toEqual([]);
  });

  it("as published: two assembly procedures, and cars of two countries", () => {
    // NIST/SEMATECH e-Handbook 7.3.1 and 1.3.5.3.
    const procedures = givenBy(
      compareTwo({
        a: [32, 37, 35, 28, 41, 44, 35, 31, 34, 38, 42],
        b: [36, 31, 30, 31, 34, 36, 29, 32, 31],
      }),
    );
    expect(
      disagreements(
        procedures,
        { meanA: 36.0909, meanB: 32.2222, welch: { t: 2.269, df: 15.5325 } },
        0,
        6e-4,
      ),
    ).toEqual([]);
    const cars = givenBy(compareTwo({ a: carMileage.us, b: carMileage.japan, resamples: 999 }));
    expect(disagreements(cars, { pooled: { t: -12.62059, df: 326 } }, 0, 6e-6)).toEqual([]);
    expect(disagreements(cars, { welch: { t: -12.94627, df: 136.875 } }, 0, 6e-5)).toEqual([]);
    expect(cars.permutation.exact).toBe(false);
    expect(cars.permutation.p).toBe(1 / 1000);
  });

  it("as published: Mann-Whitney on permeability constants", () => {
    // Hollander and Wolfe (1973), p. 69: W = 35, one-sided p = 0.1272.
    const got = mannWhitney(
      [0.8, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46],
      [1.15, 0.88, 0.9, 0.74, 1.21],
    );
    expect(disagreements(got, { u: 35, pGreater: 0.1272, exact: true }, 0, 6e-5)).toEqual([]);
  });

  it("counts Mann-Whitney for many values by the normal law, close to the count", () => {
    const random = createRandom(8);
    const a = Array.from({ length: 30 }, () => random.normal());
    const b = Array.from({ length: 30 }, () => random.normal() + 0.4);
    const counted = mannWhitney(a, b);
    const byLaw = mannWhitney([...a, -100], b.concat(-101));
    expect(counted.exact).toBe(true);
    expect(byLaw.exact).toBe(false);
    // One value more on either side moves p a little; the normal law is good to about 0.001 at these sizes.
    expect(Math.abs(byLaw.p - counted.p)).toBeLessThan(0.02);
  });

  it("counts all splits without making them, as plain enumeration does", () => {
    const random = createRandom(12);
    for (let i = 0; i < 60; i++) {
      const [m, n] = [1 + random.below(7), 2 + random.below(7)];
      // Few digits make ties; thirds are no decimals.
      const draw = () => (i % 3 === 0 ? random.below(4) / 3 : Math.round(10 * random.normal()) / 10);
      const [a, b] = [Array.from({ length: m }, draw), Array.from({ length: n }, draw)];
      const { permutation } = givenBy(compareTwo({ a, b }));
      expect(permutation).toEqual({ ...enumerated(a, b), exact: true });
    }
  });

  // Of ranks the test is Wilcoxon's. R 4.2.2: sum(dwilcox(u, m, n)) over all u at least as far from m n/2.
  it.each([
    [22, 22, 330, 0.03911413525269525],
    [20, 20, 120, 0.03041125603876486],
    [12, 30, 95, 0.01713899662298451],
    [4, 150, 100, 0.01906313398327423],
  ])("counts all splits of %d and %d ranks (u = %d)", (m, n, u, p) => {
    const { a, b } = ranksWith(m, n, u);
    const answer = compareTwo({ a, b });
    const { permutation, mannWhitney: ranks } = givenBy(answer);
    expect(ranks.u).toBe(u);
    expect(permutation.exact).toBe(true);
    expect(Math.abs(permutation.p / p - 1)).toBeLessThan(1e-12);
  });

  it("says so where it counts splits drawn by chance", () => {
    const { a, b } = ranksWith(30, 30, 300);
    const answer = compareTwo({ a, b });
    const { permutation } = givenBy(answer);
    expect(permutation).toMatchObject({ exact: false, splits: 100_000 });
    expect(answer.ok ? answer.warnings.map(({ code }) => code) : []).toEqual(["STAT_APPROXIMATE"]);
    // R 4.2.2, as above; four standard errors.
    expect(Math.abs(permutation.p - 0.02633196)).toBeLessThan(4 * Math.sqrt(0.0263 / 100_000));
  });

  it("gives an effect whose interval holds what it promises", () => {
    // Simulation with known truth: shift of one sd, n = 6 and 8; three errors.
    const random = createRandom(12);
    let holds = 0;
    for (let i = 0; i < 400; i++) {
      const a = Array.from({ length: 6 }, () => random.normal() + 1);
      const b = Array.from({ length: 8 }, () => random.normal());
      const [low, high] = givenBy(compareTwo({ a, b })).effect?.interval ?? [0, 0];
      if (low <= 1 && 1 <= high) holds += 1;
    }
    expect(Math.abs(holds / 400 - 0.95)).toBeLessThan(3 * Math.sqrt((0.95 * 0.05) / 400));
  });

  it("says what so few values can show", () => {
    // 20 splits of three and three, and the mirrored one counts too: 2/20.
    const got = givenBy(compareTwo({ a: [1, 2, 3], b: [7, 8, 9] }));
    expect(got.canShow.smallestP).toBeCloseTo(0.1, 12);
    expect(got.permutation.p).toBeCloseTo(0.1, 12);
    expect(got.canShow.sentence).toContain("no result can reach");
  });

  it("gives what there is, and refuses the rest", () => {
    const one = compareTwo({ a: [5], b: [6, 7, 8] });
    expect(givenBy(one).welch).toBeUndefined();
    // By hand: of four splits {5} and {8} lie two apart from the rest, {6} and {7} only two thirds.
    expect(givenBy(one).permutation.p).toBe(0.5);
    expect(one.ok && one.warnings[0]?.code).toBe("STAT_TOO_FEW");
    const flat = compareTwo({ a: [5, 5], b: [6, 6] });
    expect(givenBy(flat).effect).toBeUndefined();
    expect(flat.ok && flat.warnings[0]?.code).toBe("STAT_DEGENERATE");
    expect(codeOf(compareTwo({ a: [], b: [6, 7] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(compareTwo({ a: [5], b: [6] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(compareTwo({ a: [5, Number.NaN], b: [6, 7] }))).toBe("STAT_VALUE");
    expect(codeOf(compareTwo({ a: [5, 6], b: [6, 7, 8], paired: true }))).toBe("INPUT_FIELD");
  });
});

function enumerated(a: readonly number[], b: readonly number[]) {
  const all = [...a, ...b];
  const away = (sumOfA: number) =>
    Math.abs(sumOfA / a.length - (all.reduce((x, y) => x + y, 0) - sumOfA) / b.length);
  const observed = away(a.reduce((x, y) => x + y, 0)) - 1e-9;
  let [splits, asFar] = [0, 0];
  for (let chosen = 0; chosen < 2 ** all.length; chosen++) {
    const group = all.filter((_, i) => (chosen >> i) & 1);
    if (group.length !== a.length) continue;
    splits += 1;
    if (away(group.reduce((x, y) => x + y, 0)) >= observed) asFar += 1;
  }
  return { p: asFar / splits, splits };
}

/** The ranks 1 to m + n, m of them in a so that the rank sum gives u. */
function ranksWith(m: number, n: number, u: number) {
  const full = Math.floor(u / n);
  // The highest `full` ranks, one in between, and the lowest.
  const a = Array.from({ length: m }, (_, i) => {
    if (i < full) return m + n - i;
    return i === full ? m - full + (u % n) : m - i;
  });
  return { a, b: Array.from({ length: m + n }, (_, i) => i + 1).filter((rank) => !a.includes(rank)) };
}
