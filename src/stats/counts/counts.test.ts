import { describe, expect, it } from "vitest";
import { chiSquaredTails } from "../distributions/chi-squared.ts";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { exactTable } from "./exact-table.ts";
import { proportion } from "./proportion.ts";
import { survivalCurve } from "./survival-curve.ts";

// R 4.2.2: prop.test(successes, n, correct = FALSE).
const shares = [
  {
    input: { successes: 0, n: 5, confidence: 0.95 },
    expected: { interval: [0.0, 0.4344824647831748] },
    relative: 1e-9,
    absolute: 1e-14,
  },
  {
    input: { successes: 5, n: 5, confidence: 0.95 },
    expected: { interval: [0.5655175352168251, 1.0] },
    relative: 1e-9,
    absolute: 1e-14,
  },
  {
    input: { successes: 1, n: 10, confidence: 0.95 },
    expected: { interval: [0.017876213095072903, 0.4041500267952385] },
    relative: 1e-9,
    absolute: 1e-14,
  },
  {
    input: { successes: 7, n: 12, confidence: 0.95 },
    expected: { interval: [0.31951131254954973, 0.8067396863412435] },
    relative: 1e-9,
    absolute: 1e-14,
  },
  {
    input: { successes: 29, n: 30, confidence: 0.9 },
    expected: { interval: [0.8635958578481829, 0.9925281212350577] },
    relative: 1e-9,
    absolute: 1e-14,
  },
  {
    input: { successes: 18, n: 60, confidence: 0.99 },
    expected: { interval: [0.17394684288198925, 0.4658815169682429] },
    relative: 1e-9,
    absolute: 1e-14,
  },
  {
    input: { successes: 1, n: 2, confidence: 0.95 },
    expected: { interval: [0.09453120573423071, 0.9054687942657693] },
    relative: 1e-9,
    absolute: 1e-14,
  },
  {
    input: { successes: 450, n: 1000, confidence: 0.95 },
    expected: { interval: [0.41941538407429674, 0.48096729177425873] },
    relative: 1e-9,
    absolute: 1e-14,
  },
] as const;

// Full enumeration in exact fractions; R 4.2.2, fisher.test.
const tables = [
  {
    input: {
      table: [
        [3, 1],
        [1, 3],
      ],
    },
    expected: { p: 0.4857142857142857 },
    relative: 1e-9,
  },
  {
    input: {
      table: [
        [8, 2],
        [1, 5],
      ],
    },
    expected: { p: 0.03496503496503497 },
    relative: 1e-9,
  },
  {
    input: {
      table: [
        [5, 0],
        [1, 4],
      ],
    },
    expected: { p: 0.047619047619047616 },
    relative: 1e-9,
  },
  {
    input: {
      table: [
        [0, 6],
        [5, 1],
      ],
    },
    expected: { p: 0.015151515151515152 },
    relative: 1e-9,
  },
  {
    input: {
      table: [
        [3, 2, 1],
        [0, 4, 5],
      ],
    },
    expected: { p: 0.08391608391608392 },
    relative: 1e-9,
  },
  {
    input: {
      table: [
        [4, 1],
        [2, 3],
        [0, 6],
      ],
    },
    expected: { p: 0.022852147852147852 },
    relative: 1e-9,
  },
  {
    input: {
      table: [
        [2, 3, 1],
        [4, 0, 2],
        [1, 1, 5],
      ],
    },
    expected: { p: 0.1189821530378806 },
    relative: 1e-9,
  },
  {
    input: {
      table: [
        [6, 1, 0, 2],
        [1, 5, 3, 1],
      ],
    },
    expected: { p: 0.020372816038450713 },
    relative: 1e-9,
  },
] as const;

// R 4.2.2, survival 3.5.3: survfit, Greenwood's standard errors.
const curves = [
  {
    input: {
      values: [45.73, 43.35, 56.69, 49.86, 60.22, 44.01, 56.35, 59.14],
      censored: [true, false, false, true, true, false, true, false],
    },
    expected: {
      steps: [
        { value: 43.35, survival: 0.875, standardError: 0.11692679333668567 },
        { value: 44.01, survival: 0.75, standardError: 0.15309310892394862 },
        { value: 56.69, survival: 0.5, standardError: 0.22821773229381923 },
        { value: 59.14, survival: 0.25, standardError: 0.21040635288254328 },
      ],
    },
    relative: 1e-9,
  },
  {
    input: {
      values: [55.0, 61.0, 61.0, 60.0, 59.0, 35.0, 54.0, 43.0, 50.0, 63.0, 44.0, 51.0, 60.0, 52.0, 49.0],
      censored: [
        false,
        true,
        true,
        true,
        true,
        false,
        false,
        false,
        false,
        true,
        false,
        true,
        false,
        false,
        false,
      ],
    },
    expected: {
      steps: [
        { value: 35.0, survival: 0.9333333333333333, standardError: 0.06440611887195306 },
        { value: 43.0, survival: 0.8666666666666667, standardError: 0.08777074514725111 },
        { value: 44.0, survival: 0.8, standardError: 0.10327955589886445 },
        { value: 49.0, survival: 0.7333333333333333, standardError: 0.11417984514369003 },
        { value: 50.0, survival: 0.6666666666666666, standardError: 0.12171612389003691 },
        { value: 52.0, survival: 0.5925925925925926, standardError: 0.1287743684978301 },
        { value: 54.0, survival: 0.5185185185185185, standardError: 0.13227748381213703 },
        { value: 55.0, survival: 0.4444444444444444, standardError: 0.13250773199998753 },
        { value: 60.0, survival: 0.35555555555555557, standardError: 0.13250773199998753 },
      ],
    },
    relative: 1e-9,
  },
  {
    input: {
      values: [
        62.5, 49.7, 51.2, 54.6, 56.8, 54.2, 49.6, 54.8, 58.9, 39.7, 53.1, 59.6, 44.1, 43.5, 53.5, 50.3, 58.4,
        55.1, 59.6, 64.0, 53.2, 56.3, 43.8, 48.0, 56.8, 51.8, 47.8, 56.4, 56.5, 44.4,
      ],
      censored: [
        true,
        true,
        true,
        false,
        true,
        false,
        false,
        false,
        true,
        false,
        false,
        false,
        true,
        false,
        false,
        true,
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
        false,
        false,
        false,
        true,
      ],
    },
    expected: {
      steps: [
        { value: 39.7, survival: 0.9666666666666667, standardError: 0.032773069341672505 },
        { value: 43.5, survival: 0.9333333333333333, standardError: 0.04554200340426488 },
        { value: 47.8, survival: 0.896, standardError: 0.05700432732111952 },
        { value: 48.0, survival: 0.8586666666666667, standardError: 0.06572706753999762 },
        { value: 49.6, survival: 0.8213333333333334, standardError: 0.07270306937328229 },
        { value: 51.8, survival: 0.7781052631578947, standardError: 0.08071121444412924 },
        { value: 53.1, survival: 0.7348771929824561, standardError: 0.08703703893058774 },
        { value: 53.5, survival: 0.6889473684210526, standardError: 0.0929290533111811 },
        { value: 54.2, survival: 0.6430175438596492, standardError: 0.09742515757135817 },
        { value: 54.6, survival: 0.5970877192982457, standardError: 0.100712478279901 },
        { value: 54.8, survival: 0.5511578947368421, standardError: 0.10290692304086752 },
        { value: 55.1, survival: 0.5052280701754386, standardError: 0.10407764367616354 },
        { value: 56.3, survival: 0.4592982456140351, standardError: 0.10425913193389745 },
        { value: 56.4, survival: 0.41336842105263155, standardError: 0.10345659401421033 },
        { value: 56.5, survival: 0.36743859649122806, standardError: 0.1016467248533684 },
        { value: 59.6, survival: 0.18371929824561403, standardError: 0.10498194752108247 },
      ],
    },
    relative: 1e-9,
  },
  {
    input: {
      values: [52.36, 48.45, 59.57, 47.47, 57.77, 43.42],
      censored: [false, false, false, false, false, false],
    },
    expected: {
      steps: [
        { value: 43.42, survival: 0.8333333333333334, standardError: 0.15214515486254615 },
        { value: 47.47, survival: 0.6666666666666666, standardError: 0.19245008972987526 },
        { value: 48.45, survival: 0.5, standardError: 0.2041241452319315 },
        { value: 52.36, survival: 0.3333333333333333, standardError: 0.19245008972987526 },
        { value: 57.77, survival: 0.16666666666666666, standardError: 0.15214515486254615 },
        { value: 59.57, survival: 0.0 },
      ],
    },
    relative: 1e-9,
  },
] as const;

describe("proportion", () => {
  it.each(shares)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(proportion(row.input)), row.expected, 1e-9, 1e-14)).toEqual([]);
  });

  // Newcombe (1998), Statistics in Medicine 17, table I, methods 3 and 5.
  it.each([
    [81, 263, [0.2553, 0.3662], undefined],
    [15, 148, [0.0624, 0.1605], [0.0578, 0.1617]],
    [0, 20, undefined, [0, 0.1684]],
    [1, 29, [0.0061, 0.1718], undefined],
  ] as const)("as published: %d of %d", (successes, n, interval, exactInterval) => {
    const expected = { ...(interval && { interval }), ...(exactInterval && { exactInterval }) };
    expect(disagreements(givenBy(proportion({ successes, n })), expected, 0, 6e-5)).toEqual([]);
  });

  it("refuses", () => {
    expect(codeOf(proportion({ successes: 0, n: 0 }))).toBe("STAT_TOO_FEW");
    expect(codeOf(proportion({ successes: 3, n: 2 }))).toBe("STAT_VALUE");
    expect(codeOf(proportion({ successes: 0.5, n: 2 }))).toBe("STAT_VALUE");
  });
});

describe("exactTable", () => {
  it.each(tables)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(exactTable(row.input)), row.expected, 1e-9)).toEqual([]);
  });

  it("as published: tasting tea", () => {
    // Fisher (1935); Agresti (1990), p. 61; R documentation of fisher.test: one-sided with the low end at 95 %, so the
    // two-sided interval here is asked for at 90 %.
    const { p, twoByTwo } = givenBy(
      exactTable({
        table: [
          [3, 1],
          [1, 3],
        ],
        confidence: 0.9,
      }),
    );
    expect(p).toBeCloseTo(0.4857, 4);
    expect(twoByTwo?.pGreater).toBeCloseTo(0.2429, 4);
    expect(twoByTwo?.oddsRatio).toBeCloseTo(6.408309, 4);
    expect(twoByTwo?.oddsInterval.low).toBeCloseTo(0.3135693, 4);
  });

  it("has no infinite odds ratio in its answer", () => {
    const { twoByTwo } = givenBy(
      exactTable({
        table: [
          [4, 0],
          [1, 5],
        ],
      }),
    );
    expect(twoByTwo?.oddsRatio).toBeUndefined();
    expect(twoByTwo?.oddsInterval.high).toBeUndefined();
    expect(twoByTwo?.oddsInterval.low).toBeGreaterThan(0);
  });

  it("draws tables at random where there are too many, close to the exact figure", () => {
    // Chi-squared of this table is 12.6 with 12 degrees of freedom (R 4.2.2, chisq.test: p = 0.40); Monte Carlo is near.
    const table = [
      [30, 41, 25, 33, 28],
      [28, 35, 36, 24, 31],
      [33, 29, 30, 38, 26],
      [25, 38, 22, 31, 40],
    ];
    const drawn = givenBy(exactTable({ table, resamples: 4999 }));
    expect(drawn.exact).toBe(false);
    const rows = table.map((row) => row.reduce((sum, count) => sum + count, 0));
    const total = rows.reduce((sum, count) => sum + count, 0);
    const columns = [0, 1, 2, 3, 4].map((j) => table.reduce((sum, row) => sum + (row[j] ?? 0), 0));
    const chi = table
      .flatMap((row, i) =>
        row.map((count, j) => {
          const expected = ((rows[i] ?? 0) * (columns[j] ?? 0)) / total;
          return (count - expected) ** 2 / expected;
        }),
      )
      .reduce((sum, part) => sum + part, 0);
    // The two tests rank tables a little differently: 0.03 apart at most at this size.
    expect(Math.abs(drawn.p - chiSquaredTails(chi, 12).upper)).toBeLessThan(0.03);
  });

  it("refuses", () => {
    expect(codeOf(exactTable({ table: [[1, 2]] }))).toBe("STAT_VALUE");
    expect(codeOf(exactTable({ table: [[1, 2], [3]] }))).toBe("STAT_VALUE");
    expect(
      codeOf(
        exactTable({
          table: [
            [1, 2.5],
            [3, 4],
          ],
        }),
      ),
    ).toBe("STAT_VALUE");
    expect(
      codeOf(
        exactTable({
          table: [
            [1, 0],
            [3, 0],
          ],
        }),
      ),
    ).toBe("STAT_DEGENERATE");
    expect(
      codeOf(
        exactTable({
          table: [
            [1e6, 1],
            [3, 4],
          ],
        }),
      ),
    ).toBe("STAT_VALUE");
  });
});

describe("survivalCurve", () => {
  it("has its median where survival is exactly one half, whatever the rounding of the product", () => {
    // 24 complete values: survival after the twelfth is 12/24. R 4.2.2, survival 3.5-3, survfit: median 127.9.
    const values = [
      134.2, 126.1, 121.6, 126.2, 124.9, 127.9, 125.1, 132, 126.7, 131, 130.1, 134.4, 122.1, 139.1, 124.3,
      123.6, 132.6, 131.1, 125.3, 136.1, 139.8, 120.4, 135.6, 133.9,
    ];
    expect(givenBy(survivalCurve({ values })).median).toBe(127.9);
  });

  it.each(curves)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(survivalCurve(row.input)), row.expected, 1e-9)).toEqual([]);
  });

  it("gives the median where the curve comes down to a half, and no steps where nothing failed", () => {
    expect(givenBy(survivalCurve({ values: [3, 1, 2, 4] })).median).toBe(2);
    const stopped = givenBy(survivalCurve({ values: [3, 1], censored: [true, true] }));
    expect(stopped).toEqual({ n: 2, censoredCount: 2, steps: [] });
    expect(codeOf(survivalCurve({ values: [] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(survivalCurve({ values: [1, 2], censored: [true] }))).toBe("INPUT_FIELD");
  });
});
