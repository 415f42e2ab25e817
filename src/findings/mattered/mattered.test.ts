import { describe, expect, test } from "vitest";
import type { Result } from "../../problem/mod.ts";
import { type Factor, type Outcome, seriesFields } from "../../series/mod.ts";
import { createRandom } from "../../stats/mod.ts";
import { type FactorEffect, judgeSeries, type PullToJudge } from "../mod.ts";

const bury: Factor = { name: "bury", unit: "d", levels: [30, 60] };
const pin: Factor = { name: "pin", unit: "mm", levels: [10, 20] };

function pull(pullId: string, kN: number, fields: Partial<PullToJudge> = {}): PullToJudge {
  return {
    pullId,
    specimenLabel: pullId,
    levels: {},
    ropeName: "6 mm",
    ratedStrengthN: 30_000,
    legs: 2,
    outcome: { kind: "broke", place: "taper end" },
    strengthN: kN * 1000,
    strengthSource: "reading",
    warnings: [],
    ...fields,
  };
}

function judge(factors: readonly Factor[], pulls: readonly PullToJudge[]) {
  return judgeSeries({ id: "s", ...seriesFields.parse({ title: "Invented", factors }) }, pulls);
}

function given<T>(result: Result<T> | undefined): T {
  if (!result?.ok) throw new Error(JSON.stringify(result));
  return result.value;
}

function effectOf(factors: readonly Factor[], pulls: readonly PullToJudge[], at = 0): FactorEffect {
  return given(judge(factors, pulls).mattered.effects[at]?.effect);
}

/** Strengths of each bury in kN, one pull each. */
function twoBuries(short: readonly number[], long: readonly number[]): PullToJudge[] {
  return [
    ...short.map((kN, i) => pull(`s${i}`, kN, { levels: { bury: 30 } })),
    ...long.map((kN, i) => pull(`l${i}`, kN, { levels: { bury: 60 } })),
  ];
}

describe("a factor of two levels, worked by hand", () => {
  // 48 to 51 against 54 to 57 kN: no pull of one reaches the other, so of C(8, 4) = 70 splits two are as far apart.
  const shown = judge([bury], twoBuries([48, 49, 50, 51], [54, 55, 56, 57]));
  const effect = given(shown.mattered.effects[0]?.effect);

  test("exact p = 2/70", () => {
    expect(effect.significance).toEqual({
      by: "permutation",
      p: 2 / 70,
      pOfAll: 2 / 70,
      exact: true,
      arrangements: 70,
    });
  });

  test("6 kN, with the interval of two samples of spread √(5/3): 6 ± 2.4469 × √(5/3 × 2/4)", () => {
    // t(0.975; 6) = 2.4469 of the printed tables.
    const half = 2.4469 * Math.sqrt((5 / 3) * (2 / 4)) * 1000;
    expect(effect.pairs[0]?.difference.value).toBeCloseTo(6000, 6);
    expect(Math.abs((effect.pairs[0]?.difference.interval[0] ?? 0) - (6000 - half))).toBeLessThan(0.1);
  });

  test("per cent: the ratio of geometric means", () => {
    const ratio = ((54 * 55 * 56 * 57) / (48 * 49 * 50 * 51)) ** 0.25;
    expect(effect.pairs[0]?.relative.value).toBeCloseTo(ratio - 1, 12);
  });

  test("the sentence says so, with all pulls that it rests on", () => {
    const said = shown.findings.find(({ id }) => id === "effect-bury");
    expect(said?.sentence).toBe(
      "Bury mattered. At 60 d the specimens are 12 % stronger (95 % interval 7 to 17 %; 6.0 kN, 3.8 to 8.2 kN) than at 30 d; p = 0.029, exact over 70 arrangements; n = 8.",
    );
    expect(said?.pulls).toHaveLength(8);
  });
});

test("nine pulls that cannot tell say so, and what they would have seen", () => {
  const said = judge([bury], twoBuries([48, 52, 50, 49], [51, 50, 53, 49, 50])).findings.find(
    ({ id }) => id === "effect-bury",
  );
  expect(said?.sentence).toMatch(
    /^These 9 pulls cannot tell whether bury matters: .* A difference under \d.* % would hardly have been seen\.$/,
  );
});

test("too few arrangements for 5 %: the F law stands in, and says so", () => {
  const effect = effectOf([bury], twoBuries([48, 49], [54, 55]));
  // C(4, 2) = 6 arrangements: the least exact p would be 1/3.
  expect(effect.significance.by).toBe("F law");
  // R 4.2.2: x <- log(c(48,49,54,55)); anova(lm(x ~ c(1,1,2,2)))$Pr[1]
  expect(effect.significance.p).toBeCloseTo(0.0137103704, 8);
});

describe("what else differs is kept apart", () => {
  test("a strong maker, balanced over the levels, is a block and does not hide the effect", () => {
    const kN = { Ann: { 30: [56, 57, 58], 60: [58, 59, 60] }, Bo: { 30: [46, 47, 48], 60: [48, 49, 50] } };
    const pulls = (["Ann", "Bo"] as const).flatMap((maker) =>
      ([30, 60] as const).flatMap((level) =>
        kN[maker][level].map((value, i) =>
          pull(`${maker}${level}${i}`, value, { maker, levels: { bury: level } }),
        ),
      ),
    );
    const effect = effectOf([bury], pulls);
    expect(effect.blockedBy).toEqual(["maker"]);
    // Within each maker 3 of 6: 20 × 20 arrangements.
    expect(effect.significance.arrangements).toBe(400);
    expect(effect.pairs[0]?.difference.value).toBeCloseTo(2000, 6);
    // Within makers and levels the squares add up to 8 over 12 − 2 − 1 degrees of freedom; t(0.975; 9) = 2.2622.
    const half = 2.2622 * Math.sqrt((8 / 9) * (2 / 6)) * 1000;
    expect(Math.abs((effect.pairs[0]?.difference.interval[1] ?? 0) - (2000 + half))).toBeLessThan(0.5);
  });

  test("spools that met one level each are a random part: R 4.2.2, lmerTest 3.1-3", () => {
    const values = [50.2, 51.1, 49.3, 47.5, 48.1, 46.6, 55.4, 54.2, 56.3, 52.0, 51.2, 53.1];
    const pulls = values.map((kN, i) =>
      pull(`p${i}`, kN, { spoolName: `s${Math.floor(i / 3)}`, levels: { bury: i < 6 ? 30 : 60 } }),
    );
    const effect = effectOf([bury], pulls);
    expect(effect.significance.by).toBe("mixed model");
    expect(effect.randomParts).toEqual(["spool"]);
    // y <- log(values); l <- rep(0:1, each = 6); s <- rep(1:4, each = 3); summary(lmer(y ~ l + (1 | s)))
    expect(Math.log1p(effect.pairs[0]?.relative.value ?? 0)).toBeCloseTo(0.0956298637, 8);
    expect(effect.significance.p).toBeCloseTo(0.146934474, 5);
  });

  test("a spool to each level cannot be told from the level", () => {
    const pulls = twoBuries([48, 49, 50, 51], [54, 55, 56, 57]).map((one) => ({
      ...one,
      spoolName: `spool of ${one.levels["bury"]}`,
    }));
    const effect = effectOf([bury], pulls);
    expect(effect.warnings.map(({ code }) => code)).toEqual(["FINDING_CONFOUNDED"]);
  });

  test("two sizes are compared by leg efficiency, and not at all where a rating is missing", () => {
    const sizes: Factor = { name: "diameter", unit: "mm", levels: [6, 8] };
    const pulls = [48, 50, 52, 49].flatMap((kN, i) => [
      pull(`a${i}`, kN, { levels: { diameter: 6 } }),
      // Twice the rope, twice the strength: not stronger for its rope.
      pull(`b${i}`, 2 * kN, { levels: { diameter: 8 }, ropeName: "8 mm", ratedStrengthN: 60_000 }),
    ]);
    const effect = effectOf([sizes], pulls);
    expect(effect.by).toBe("leg efficiency");
    expect(effect.pairs[0]?.relative.value).toBeCloseTo(0, 12);
    const unrated = pulls.map(({ ratedStrengthN: _, ...rest }) => rest);
    expect(judge([sizes], unrated).mattered.effects[0]?.effect).toMatchObject({
      ok: false,
      problems: [{ code: "FINDING_NO_RATING" }],
    });
  });
});

describe("two factors", () => {
  // Bury raises strength at the small pin only; invented.
  const cells = {
    "30 10": [40, 41, 42],
    "60 10": [50, 51, 52],
    "30 20": [50, 52, 51],
    "60 20": [51, 50, 52],
  };
  const pulls = Object.entries(cells).flatMap(([cell, values]) => {
    const [b, p] = cell.split(" ").map(Number) as [number, number];
    return values.map((kN, i) => pull(`${cell} ${i}`, kN, { levels: { bury: b, pin: p } }));
  });
  const shown = judge([bury, pin], pulls);

  test("an interaction: R 4.2.2, anova(lm(log(v) ~ b * p))", () => {
    const [one] = shown.mattered.interactions;
    // v <- c(40,41,42, 50,51,52, 50,52,51, 51,50,52); b <- rep(c(0,1,0,1), each = 3); p <- rep(c(0,0,1,1), each = 3)
    expect(one?.f).toBeCloseTo(81.76397, 4);
    expect(one?.df).toEqual([1, 8]);
    // exp(coef["b:p"]) − 1
    expect(one?.relative?.value).toBeCloseTo(-0.196134843, 8);
    expect(shown.findings.find(({ id }) => id === "interaction-bury-pin")?.sentence).toContain(
      "depends on pin",
    );
  });

  test("Holm, by hand: the least of three p is taken three times", () => {
    const ps = [
      ...shown.mattered.effects.map(({ effect }) => given(effect).significance),
      ...shown.mattered.interactions.map(({ significance }) => significance),
    ];
    const least = ps.reduce((a, b) => (b.p < a.p ? b : a));
    expect(least.pOfAll).toBeCloseTo(3 * least.p, 12);
  });
});

describe("order and rate", () => {
  test("a maker who gets 1 kN better with each pull is seen, within cells", () => {
    const pulls = [48, 49, 50, 51, 52, 53, 54, 55].map((kN, i) =>
      pull(`p${i}`, kN + (i % 2) * 4, { order: i + 1, levels: { bury: i % 2 === 0 ? 30 : 60 } }),
    );
    const trend = given(judge([bury], pulls).mattered.orderTrend);
    // Rising throughout in both cells: of 4! × 4! orders the steepest up and the steepest down.
    expect(trend.significance).toMatchObject({ p: 2 / 576, exact: true, arrangements: 576 });
  });

  test("ten times the rate: a power law comes back exactly", () => {
    // F = 50 (rate/1000)^0.02, ten times the rate raises it by 10^0.02 − 1; a hair of noise keeps it from being exact.
    const pulls = [300, 600, 1000, 2000, 4000, 9000].map((rate, i) =>
      pull(`p${i}`, 50 * (rate / 1000) ** 0.02 * (1 + (i % 2 === 0 ? 1e-7 : -1e-7)), {
        loadingRateNPerS: rate,
      }),
    );
    const found = given(judge([], pulls).mattered.rateEffect);
    expect(found.perTenfold.value).toBeCloseTo(10 ** 0.02 - 1, 5);
    // The rates do not lie evenly, so of 6! orders only the observed one is as steep.
    expect(found.significance.p).toBeCloseTo(1 / 720, 12);
    expect(found.warnings).toEqual([]);
  });
});

test("places: Fisher, Freeman and Halton as R 4.2.2's fisher.test, and Wilson's interval of 7 of 8", () => {
  const ended = (place: string): Outcome => ({ kind: place === "bury" ? "slipped" : "broke", place });
  const rows = {
    30: ["bury", "bury", "bury", "bury", "bury", "bury", "bury", "throat"],
    60: ["throat", "taper end", "taper end", "taper end", "taper end", "bury"],
  };
  const pulls = Object.entries(rows).flatMap(([level, places]) =>
    places.map((place, i) =>
      pull(`${level}-${i}`, 50 + i, { levels: { bury: Number(level) }, outcome: ended(place) }),
    ),
  );
  const [table] = judge([bury], pulls).mattered.failurePlaces;
  // fisher.test(matrix(c(7,1,1,1,0,4), 2))$p.value, columns bury, throat, taper end
  expect(given(table?.test).p).toBeCloseTo(0.00566100566, 9);
  expect(given(table?.test).exact).toBe(true);
  const share = table?.rows[0]?.counts.find(({ place }) => place === "bury")?.share;
  // R: prop.test(7, 8, correct = FALSE)$conf.int
  expect(share?.interval[0]).toBeCloseTo(0.5291, 4);
  expect(share?.interval[1]).toBeCloseTo(0.9776, 4);
});

test("settling: R 4.2.2, metafor 3.8-1, rma(yi, sei = sei, test = 'knha')", () => {
  const yi = [0.03, 0.034, 0.028, 0.041, 0.036];
  const sei = [0.002, 0.003, 0.002, 0.004, 0.002];
  const pulls = yi.map((value, i) => {
    const half = 1.959963984540054 * (sei[i] as number);
    return pull(`p${i}`, 50, { settlingPerDecade: { value, interval: [value - half, value + half] } });
  });
  const found = given(judge([], pulls).mattered.settling);
  expect(found.mean.value).toBeCloseTo(0.0331724291, 7);
  expect(found.mean.interval[0]).toBeCloseTo(0.0271411785, 6);
  expect(found.perTenfoldForce.ok).toBe(false);
});

test("parts of the scatter: makers that truly differ by 5 % beside 3 % from pull to pull come back", () => {
  const random = createRandom(12);
  const offsets = Array.from({ length: 40 }, () => Math.exp(0.05 * random.normal()));
  const pulls = offsets.flatMap((offset, m) =>
    Array.from({ length: 6 }, (_, i) =>
      pull(`m${m}-${i}`, 50 * offset * Math.exp(0.03 * random.normal()), { maker: `maker ${m}` }),
    ),
  );
  const parts = given(judge([], pulls).mattered.scatterParts).parts;
  expect(parts.map(({ name }) => name)).toEqual(["maker", "pull to pull"]);
  // With 40 makers the standard error of such an SD is about 12 %, with 200 degrees of freedom 5 %.
  expect(Math.abs((parts[0]?.sd ?? 0) / 0.05 - 1)).toBeLessThan(0.3);
  expect(Math.abs((parts[1]?.sd ?? 0) / 0.03 - 1)).toBeLessThan(0.12);
});
