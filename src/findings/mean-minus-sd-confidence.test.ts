import { describe, expect, test } from "vitest";
import { createRandom, toleranceFactor } from "../stats/mod.ts";
import { meanMinusSdConfidence } from "./mean-minus-sd-confidence.ts";

describe("the confidence of mean − k·SD", () => {
  test("is 85 % for the 5 % quantile and 65 % for the 1 % quantile at n = 5, k = 3", () => {
    // Computed apart from this program for a brief on rope testing (normal strengths), to the whole per cent.
    expect(Math.round(100 * meanMinusSdConfidence({ n: 5, factor: 3, content: 0.95 }))).toBe(85);
    expect(Math.round(100 * meanMinusSdConfidence({ n: 5, factor: 3, content: 0.99 }))).toBe(65);
  });

  test.each([2, 3, 5, 10, 30])("turns the exact tolerance factor round (n = %i)", (n) => {
    for (const confidence of [0.5, 0.75, 0.95]) {
      const factor = toleranceFactor({ n, content: 0.95, confidence, sides: "one" });
      if (!factor.ok) throw new Error("a factor is wanted");
      // 1e-9: both go through the same distribution, but one of them through a search for its root.
      expect(meanMinusSdConfidence({ n, factor: factor.value.factor, content: 0.95 })).toBeCloseTo(
        confidence,
        9,
      );
    }
  });

  test("is what a simulation with known truth finds", () => {
    const random = createRandom(20_240_601);
    const n = 4;
    const runs = 40_000;
    let below = 0;
    for (let run = 0; run < runs; run++) {
      const values = Array.from({ length: n }, () => random.normal());
      const mean = values.reduce((sum, value) => sum + value, 0) / n;
      const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
      if (mean - 3 * sd < -1.6448536269514722) below++; // z(0.05), Abramowitz and Stegun table 26.5 (from memory)
    }
    // Four standard errors of a share near 0.8 in 40,000 runs: 4 · √(0.8 · 0.2 / 40000) = 0.008.
    expect(Math.abs(below / runs - meanMinusSdConfidence({ n, factor: 3, content: 0.95 }))).toBeLessThan(
      0.008,
    );
  });
});
