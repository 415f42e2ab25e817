import { describe, expect, it } from "vitest";
import { planPulls, seriesFields } from "../../series/mod.ts";
import { builtInRecipe, cutLength, ropeFields } from "../../splice/mod.ts";
import { createRandom, normalCdf } from "../../stats/mod.ts";
import { judgeSeries } from "../judge-series.ts";
import { planBudget } from "./budget.ts";
import { buryFactor } from "./bury-factor.ts";
import { type BuryPlan, buryPlan, combineBuryPlan, simulateBuryPlan } from "./bury-plan.ts";
import { type BuryTruth, buryAtChance, slipMedian } from "./bury-truth.ts";
import { boundsAtCounts, howMany } from "./how-many.ts";
import { planChanges } from "./plan-changes.ts";
import { buryError, proposeBuries } from "./propose-buries.ts";
import { expectedScatter, typedScatter } from "./scatter.ts";

const truth: BuryTruth = {
  growth: "exponential",
  plateau: 0.9,
  turn: 34,
  slipBury: 20,
  slipStrength: 0.6,
  slipScatter: 0.08,
  breakScatter: 0.08,
};
const given = (answer: ReturnType<typeof buryPlan>): BuryPlan => {
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
  return answer.value;
};
const width = ({ estimateOff: { low = Number.NaN, high = Number.NaN } }: BuryPlan) => high - low;

describe("the scatter to expect", () => {
  it("pools variances by their degrees of freedom, and gives them their chi-squared range", () => {
    // By hand: (4 · 0.06² + 8 · 0.09²)/12 = 0.0066, root 0.08124.
    const found = expectedScatter([
      { seriesId: "a", n: 5, cv: 0.06 },
      { seriesId: "b", n: 9, cv: 0.09 },
      { seriesId: "b", n: 1, cv: 0 },
    ]);
    expect(found.cv).toBeCloseTo(Math.sqrt(0.0066), 12);
    expect(found).toMatchObject({ source: "book", series: 2, cells: 2, pulls: 14 });
    // χ²(12): 5.226 and 21.026 at 5 and 95 % (any printed table of chi-squared).
    expect(found.range[0]).toBeCloseTo(found.cv * Math.sqrt(12 / 21.026), 5);
    expect(found.range[1]).toBeCloseTo(found.cv * Math.sqrt(12 / 5.226), 5);
  });

  it("falls back on custom, and says so, where the book holds too little", () => {
    const found = expectedScatter([{ seriesId: "a", n: 5, cv: 0.02 }]);
    expect(found).toMatchObject({ cv: 0.08, range: [0.05, 0.08], source: "custom", pulls: 0 });
    expect(found.says).toContain("no published source");
  });
});

describe("how many pulls", () => {
  it("gives the published number of each of two groups", () => {
    // J. Cohen, Statistical Power Analysis (1988), table 2.4.1: d = 0.8, two-sided 5 %, power 0.80: 26 (from memory).
    const cohen = howMany({
      difference: 0.064,
      power: 0.8,
      scatter: typedScatter(0.08),
      cells: 2,
      pullsPerCell: 26,
    });
    expect(cohen.pullsPerCell).toMatchObject({ ok: true, value: 26 });
    expect(cohen.forAllPairs).toMatchObject({ ok: true, value: 26 });
    // With its own n the plan finds the difference with at least the chance asked for, and just that at the least difference.
    expect(cohen.planned?.power.ok && cohen.planned.power.value).toBeGreaterThanOrEqual(0.8);
    expect(cohen.planned?.difference).toBeLessThanOrEqual(0.064);
    expect(cohen.planned?.difference).toBeGreaterThan(0.062);
  });

  it("asks for more where more pairs are compared, and less at the lower end of the scatter", () => {
    const found = howMany({
      difference: 0.1,
      power: 0.8,
      scatter: expectedScatter([]),
      cells: 5,
      pullsPerCell: 0,
    });
    const [low, high] = found.range.map((one) => (one.ok ? one.value : Number.NaN)) as [number, number];
    const all = found.forAllPairs.ok ? found.forAllPairs.value : 0;
    expect(found.pairs).toBe(10);
    expect(low).toBeLessThan(high);
    expect(all).toBeGreaterThan(high);
    expect(found).not.toHaveProperty("planned");
  });

  it("prints the published tolerance factors and how far below the mean they lie", () => {
    // ISO 16269-6:2014, one-sided, 95/95: n = 3 7.656, 5 4.203, 10 2.911 (from memory).
    const rows = boundsAtCounts({ cv: 0.08, content: 0.95, confidence: 0.95, planned: 7 });
    const factor = (n: number) => rows.find((row) => row.n === n)?.factor;
    expect(factor(3)).toBeCloseTo(7.656, 3);
    expect(factor(5)).toBeCloseTo(4.203, 3);
    expect(factor(10)).toBeCloseTo(2.911, 3);
    expect(rows.map(({ n }) => n)).toEqual([3, 4, 5, 6, 7, 8, 10, 15, 20, 30]);
    expect(rows[0]?.below).toBeCloseTo(7.656 * 0.08, 4);
  });
});

describe("which buries", () => {
  it.each(["exponential", "linear"] as const)("knows where its %s world slips with a chance", (growth) => {
    const world = { ...truth, growth };
    expect(slipMedian(world, 20)).toBeCloseTo(0.6, 12);
    expect(buryAtChance(world, 0.5)).toBeCloseTo(34, 9);
    // Against the normal law itself at the bury found: P(ln S < ln B).
    const at = buryAtChance(world, 0.05);
    const gap = Math.log(slipMedian(world, at) / 0.9) / Math.hypot(0.08, 0.08);
    expect(normalCdf(-gap)).toBeCloseTo(0.05, 9);
  });

  it("tells how sure the answer is as the information of the pulls does, and surer with more of them", () => {
    const levels = [24, 32, 40, 48];
    const plan = (pullsPerLevel: number) =>
      given(buryPlan({ levels, pullsPerLevel, truth, series: 30, seed: 5 }));
    const [few, many] = [plan(4), plan(12)];
    // 80 % of a normal estimate lie within 2.563 standard errors; 30 series place that width to about 20 %.
    expect(width(few) / (2.563 * buryError(truth, levels, 4, 0.05))).toBeGreaterThan(0.6);
    expect(width(few) / (2.563 * buryError(truth, levels, 4, 0.05))).toBeLessThan(1.6);
    // Three times as many pulls: the width over the root of 3, 1.73.
    expect(width(few) / width(many)).toBeGreaterThan(1.2);
    expect(width(few) / width(many)).toBeLessThan(2.5);
    expect(buryError(truth, levels, 4, 0.05) / buryError(truth, levels, 12, 0.05)).toBeCloseTo(
      Math.sqrt(3),
      9,
    );
    // 95 % asked: of 30 series 1.5 fall short, 6 with a chance below 0.01.
    expect(few.tooShort).toBeLessThan(6 / 30);
    expect(few.nothing).toBeLessThan(0.2);
    expect(few.trueBury).toBeCloseTo(buryAtChance(truth, 0.05), 12);
  });

  it("proposes levels that answer better than levels on the plateau or all in the slips", () => {
    const proposed = proposeBuries({ truth, count: 5, pullsPerLevel: 5, chance: 0.05 });
    if (!proposed.ok) throw new Error(JSON.stringify(proposed.problems));
    const { levels, standardError } = proposed.value;
    expect(levels[0]).toBeLessThan(truth.turn);
    expect(levels.at(-1)).toBeGreaterThan(truth.turn);
    for (const others of [
      [40, 50, 60, 70, 80],
      [10, 14, 18, 22, 26],
      [32, 33, 34, 35, 36],
    ])
      expect(buryError(truth, others, 5, 0.05)).toBeGreaterThan(standardError);
    // The fit itself agrees: on the plateau it can state next to nothing.
    const plan = (some: readonly number[]) =>
      given(buryPlan({ levels: some, pullsPerLevel: 5, truth, series: 12, seed: 9 }));
    expect(plan([40, 50, 60, 70, 80]).nothing).toBeGreaterThan(0.8);
    expect(plan(levels).nothing).toBeLessThan(0.2);
  });

  it("is the same however the series are shared out", () => {
    const input = { levels: [24, 34, 44], pullsPerLevel: 4, truth, series: 6, seed: 3 };
    const parts = [...simulateBuryPlan(input, 0, 2), ...simulateBuryPlan(input, 2, 6)];
    expect(combineBuryPlan(input, parts)).toEqual(given(buryPlan(input)));
  });

  it("refuses what is no plan and no truth, each with its field", () => {
    const refused = buryPlan({
      levels: [30],
      pullsPerLevel: 0,
      truth: { ...truth, turn: 20, slipScatter: 0 },
    });
    expect(refused.ok ? [] : refused.problems.map(({ where }) => where?.field)).toEqual([
      "levels",
      "pullsPerLevel",
      "truth.turn",
      "truth.slipScatter",
    ]);
    // By hand: a linear law of 0.1 at 30 d and 0.9 at 34 d comes to nothing at 29.5 d.
    const weak: BuryTruth = { ...truth, growth: "linear", slipStrength: 0.1, slipBury: 30 };
    expect(buryPlan({ levels: [20, 40], pullsPerLevel: 3, truth: weak }).ok).toBe(false);
  });

  it("finds the bury among the factors, in diameters", () => {
    const factors = [
      { name: "pin", unit: "mm", levels: [12, 20] },
      { name: "bury", unit: "mm", levels: [180, 240] },
    ];
    expect(buryFactor(factors, 6)).toEqual({ name: "bury", levels: [30, 40] });
    expect(buryFactor(factors)).toBeUndefined();
    expect(buryFactor([{ name: "Bury", unit: "d", levels: ["long", 30] }])).toBeUndefined();
  });
});

describe("what it takes", () => {
  it("sums the cut lengths of each level, and weighs and prices them", () => {
    const rope = ropeFields.parse({ name: "Grey", nominalDiameterMm: 6, massPerLengthGPerM: 20 });
    const recipe = builtInRecipe("crossed-tail-loop");
    const factor = { name: "bury", unit: "d", levels: [30, 60] };
    const planned = planPulls({ factors: [factor], pullsPerCell: 3, spools: ["one", "two"], seed: 4 });
    if (!planned.ok) throw new Error("no plan");
    const spools = [
      { name: "one", pricePerM: 2, currency: "EUR" },
      { name: "two", pricePerM: 2, currency: "EUR" },
    ];
    const budget = planBudget({
      specimens: planned.value,
      bury: factor,
      rope,
      recipe,
      lengthMm: 900,
      spools,
    });
    if (!budget.ok) throw new Error(JSON.stringify(budget.problems));
    const cutAt = (buryFullDiameters: number) => {
      const cut = cutLength(
        { rope, recipe: { ...recipe, buryFullDiameters }, state: { measure: "inside" } },
        900,
      );
      if (!cut.ok) throw new Error(JSON.stringify(cut.problems));
      return cut.value.cutLengthMm;
    };
    const metres = (3 * (cutAt(30) + cutAt(60))) / 1000;
    expect(cutAt(60)).toBeGreaterThan(cutAt(30));
    expect(budget.value.ropeM).toBeCloseTo(metres, 9);
    expect(budget.value.massG).toBeCloseTo(20 * metres, 9);
    expect(budget.value.cost?.value).toBeCloseTo(2 * metres, 9);
    // A spool without a price leaves the cost open, and a loop too short for its bury is refused with that bury.
    const unpriced = planBudget({
      specimens: planned.value,
      bury: factor,
      rope,
      recipe,
      lengthMm: 900,
      spools: [],
    });
    expect(unpriced.ok && unpriced.value).not.toHaveProperty("cost");
    const short = planBudget({ specimens: planned.value, bury: factor, rope, recipe, lengthMm: 420 });
    expect(short.ok ? "" : short.problems[0]?.message).toContain("(bury 60 d)");
  });
});

describe("a plan changed after pulls", () => {
  const bury = (levels: number[]) => ({ name: "bury", unit: "d", levels });
  const past = (factors: ReturnType<typeof bury>[], pullsPerCell: number) => ({
    until: "2026-05-01T10:00:00.000Z",
    factors,
    pullsPerCell,
    pullsThen: 8,
  });

  it("says each change against the plan that followed, and what it does to the inference", () => {
    const changes = planChanges([past([bury([20, 30])], 4), past([bury([30, 40])], 4)], {
      factors: [bury([30, 40])],
      pullsPerCell: 6,
    });
    expect(changes.map(({ changed }) => changed)).toEqual([
      ["1 level of “bury” dropped: 20", "1 level of “bury” added: 40"],
      ["pulls in each cell became 6 (they were 4)"],
    ]);
    expect(changes[0]?.inference.join(" ")).toContain("after seeing pulls");
    expect(changes[1]?.inference.join(" ")).toContain("p value");
    expect(planChanges([], { factors: [], pullsPerCell: 5 })).toEqual([]);
  });

  it("is a finding of the series, which the report and Judge show", () => {
    const series = {
      id: "ser-1",
      ...seriesFields.parse({ title: "Bury", factors: [bury([30, 40])], pullsPerCell: 6 }),
      planHistory: [past([bury([20, 30])], 6)],
    };
    const pull = (pullId: string) => ({ pullId, levels: {}, strengthSource: "none" as const, warnings: [] });
    const { findings } = judgeSeries(series, [pull("p1")]);
    const change = findings.filter(({ id }) => id.startsWith("plan-changed"));
    expect(change.map(({ sentence }) => sentence.split(". ")[0])).toEqual([
      "The plan was changed on 2026-05-01, after 8 pulls: 1 level of “bury” dropped: 20; 1 level of “bury” added: 40",
    ]);
    expect(judgeSeries({ ...series, planHistory: [] }, [pull("p1")]).findings).toHaveLength(
      findings.length - 1,
    );
  });

  it("stopping when it looks right finds differences that are not there: by simulation, more than 5 %", () => {
    // Two cells without any difference, z test with known scatter, looked at after 4, 6, 8 and 10 pulls each. The truth is
    // published: P. Armitage, C. K. McPherson and B. C. Rowe, J. R. Statist. Soc. A 132 (1969): 2 looks 8 %, 5 looks 14 %.
    const random = createRandom(11);
    let found = 0;
    for (let trial = 0; trial < 2000; trial++) {
      let sum = 0;
      let n = 0;
      let hit = false;
      for (const look of [4, 6, 8, 10]) {
        for (; n < look; n++) sum += random.normal() - random.normal();
        if (Math.abs(sum) / Math.sqrt(2 * n) > 1.96) hit = true;
      }
      if (hit) found++;
    }
    expect(found / 2000).toBeGreaterThan(0.08);
    expect(found / 2000).toBeLessThan(0.14);
  });
});
