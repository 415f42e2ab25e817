import { describe, expect, it } from "vitest";
import { createRandom } from "../random/random.ts";
import { codeOf } from "../test-data/agree.ts";
import { type BlockedEffects, blockedEffects, blockedSlope } from "./blocked-effects.ts";

function effectsOf(input: Parameters<typeof blockedEffects>[0]): BlockedEffects {
  const answer = blockedEffects(input);
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
  return answer.value;
}

const values = [
  10.2, 11.1, 9.8, 12.5, 12.9, 11.7, 14.1, 13.6, 13.0, 9.1, 9.9, 8.7, 10.6, 11.3, 10.1, 12.2, 13.1, 11.9,
  13.9, 14.0, 12.8, 9.4, 9.7, 9.0,
];
const blocks = values.map((_, i) => `${Math.floor(i / 3)}`);
const levels = values.map((_, i) => `m${i % 3}`);

describe("levels in blocks", () => {
  it("R 4.2.2: anova(lm(v ~ b + mk)) and TukeyHSD(aov(v ~ b + mk), 'mk')", () => {
    const found = effectsOf({ values, levels, blocks });
    expect(found.df).toBe(14);
    expect(found.f).toBeCloseTo(33.886, 3);
    expect(found.p).toBeCloseTo(4.312e-6, 9);
    const [first, second, third] = found.pairs;
    expect(first).toMatchObject({ from: "m0", to: "m1", difference: expect.closeTo(0.45, 12) });
    expect(first?.interval[0]).toBeCloseTo(0.1067231, 6);
    expect(first?.interval[1]).toBeCloseTo(0.7932769, 6);
    expect(first?.p).toBeCloseTo(0.010598, 6);
    expect(second?.p).toBeCloseTo(0.0008247, 7);
    expect(third?.interval[0]).toBeCloseTo(-1.4182769, 6);
    expect(third?.p).toBeCloseTo(0.0000029, 7);
  });

  it("two levels in uneven blocks: R 4.2.2, summary(lm(v ~ b + l))$coef and confint", () => {
    // v <- c(50,52,55,47,49,53,56,58); b <- c(1,1,1,2,2,2,2,2); l <- c("a","a","b","a","a","a","b","b")
    const found = effectsOf({
      values: [50, 52, 55, 47, 49, 53, 56, 58],
      blocks: ["1", "1", "1", "2", "2", "2", "2", "2"],
      levels: ["a", "a", "b", "a", "a", "a", "b", "b"],
    });
    const [pair] = found.pairs;
    expect(pair?.difference).toBeCloseTo(6.142857, 5);
    expect(pair?.standardError).toBeCloseTo(1.7142857, 6);
    expect(pair?.p).toBeCloseTo(0.015819039, 8);
    expect(pair?.interval[0]).toBeCloseTo(1.7361454, 6);
  });

  it("the exact p by looking at every arrangement: 3 × 10 of them, counted the slow way", () => {
    const v = [50, 52, 55, 47, 49, 53, 56, 58];
    const first = [[0], [1], [2]];
    const second = [3, 4, 5, 6, 7].flatMap((i) => [3, 4, 5, 6, 7].filter((j) => j > i).map((j) => [i, j]));
    const mean = (rows: readonly number[]) =>
      rows.reduce((sum, i) => sum + (v[i] as number), 0) / rows.length;
    // Σ over the b's of (value − mean of its block) decides between arrangements of one shape.
    const score = (rows: readonly number[]) =>
      Math.abs(
        rows.reduce(
          (sum, i) => sum + (v[i] as number) - (i < 3 ? mean([0, 1, 2]) : mean([3, 4, 5, 6, 7])),
          0,
        ),
      );
    const seen = score([2, 6, 7]);
    const all = first.flatMap((one) => second.map((two) => score([...one, ...two])));
    const p = all.filter((value) => value >= seen - 1e-9).length / all.length;
    const found = effectsOf({
      values: v,
      blocks: ["1", "1", "1", "2", "2", "2", "2", "2"],
      levels: ["a", "a", "b", "a", "a", "a", "b", "b"],
    }).permutation;
    expect(found).toEqual({ p, exact: true, splits: 30 });
  });

  it("too many arrangements: a sample of stated size lies near the exact p of the t test's own case", () => {
    // Two groups of 12 from one population: the permutation and the F law nearly agree (they do as n grows).
    const random = createRandom(9);
    const drawn = Array.from({ length: 24 }, () => random.normal());
    const found = effectsOf({ values: drawn, levels: drawn.map((_, i) => (i < 12 ? "a" : "b")) });
    expect(found.permutation.exact).toBe(false);
    expect(found.permutation.splits).toBe(10_000);
    expect(Math.abs(found.permutation.p - found.p)).toBeLessThan(0.03);
  });

  it("levels that never meet, one level, too few, no scatter are refused", () => {
    const of = (v: number[], l: string[], b: string[]) =>
      codeOf(blockedEffects({ values: v, levels: l, blocks: b }));
    expect(of([1, 2, 3, 5], ["a", "a", "b", "b"], ["1", "1", "2", "2"])).toBe("STAT_DEGENERATE");
    expect(of([1, 2, 3, 5], ["a", "a", "a", "a"], ["1", "1", "2", "2"])).toBe("STAT_TOO_FEW");
    expect(of([1, 2, 3], ["a", "b", "a"], ["1", "1", "2"])).toBe("STAT_TOO_FEW");
    expect(of([1, 1, 3, 3], ["a", "a", "b", "b"], ["1", "1", "1", "1"])).toBe("STAT_DEGENERATE");
  });
});

describe("a slope in blocks", () => {
  it("R 4.2.2: summary(lm(y ~ b + x)), confint, and all 12 orders by hand", () => {
    const answer = blockedSlope({
      values: [1, 2.1, 2.9, 11, 12.2],
      x: [1, 2, 3, 1, 2],
      blocks: ["a", "a", "a", "b", "b"],
    });
    if (!answer.ok) throw new Error("refused");
    expect(answer.value.slope).toBeCloseTo(1, 12);
    expect(answer.value.standardError).toBeCloseTo(0.08944272, 7);
    expect(answer.value.p).toBeCloseTo(0.007905262, 8);
    expect(answer.value.interval[0]).toBeCloseTo(0.615159, 6);
    // Only the order itself and its reverse in both blocks are as steep: 2 of 3! × 2!.
    expect(answer.value.permutation).toEqual({ p: 2 / 12, exact: true, splits: 12 });
  });

  it("refuses an x that does not vary within blocks", () => {
    expect(
      codeOf(blockedSlope({ values: [1, 2, 3, 4], x: [1, 1, 2, 2], blocks: ["a", "a", "b", "b"] })),
    ).toBe("STAT_DEGENERATE");
  });
});
