import { describe, expect, it } from "vitest";
import { toleranceFactor } from "./tolerance-factor.ts";

type Row = readonly [n: number, content: number, confidence: number, factor: number];

function factorOf(sides: "one" | "two", n: number, content: number, confidence: number): number {
  const answer = toleranceFactor({ n, content, confidence, sides });
  if (!answer.ok) throw new Error(answer.problems[0]?.message);
  return answer.value.factor;
}

// mpmath, 34 digits: the quantile of the non-central t, solved from its integral, over √n.
const oneSided: readonly Row[] = [
  [2, 0.9, 0.95, 20.58146762424498],
  [3, 0.9, 0.95, 6.155281103326258],
  [4, 0.9, 0.95, 4.161933184729744],
  [5, 0.9, 0.95, 3.4066332628008094],
  [6, 0.99, 0.95, 5.061988549905477],
  [8, 0.9, 0.95, 2.581908750021066],
  [10, 0.9, 0.95, 2.3546401318290604],
  [12, 0.99, 0.95, 3.747084893936733],
  [15, 0.95, 0.95, 2.566000423490456],
  [20, 0.9, 0.9, 1.765206311766704],
  [25, 0.99, 0.99, 3.601088013645875],
  [30, 0.9, 0.95, 1.7773287978334933],
  [40, 0.95, 0.5, 1.6575415711108408],
  [60, 0.9, 0.95, 1.6089131076307805],
  [60, 0.99, 0.99, 3.0382575471905584],
  [100, 0.999, 0.95, 3.539484344382412],
  [300, 0.9, 0.95, 1.4169111139422712],
  [1000, 0.99, 0.95, 2.430140153241694],
  [2, 0.99, 0.99, 185.61695860321123],
  [3, 0.9, 0.05, 0.33447763474934566],
  [5, 0.95, 0.05, 0.8177786351824345],
  [29, 0.95, 0.95, 2.2324057886840913],
  [300, 0.99, 0.99, 2.60804545845495],
  [2, 0.9999, 0.9999, 29673.4583377463],
  [4, 0.9999, 0.5, 4.174807312803496],
  [7, 0.0001, 0.0001, -22.473103825528156],
];

// mpmath, 34 digits: the exact integral of Odeh and Owen, 90-node Gauss-Legendre over the deviation of the mean.
const twoSided: readonly Row[] = [
  [2, 0.9, 0.95, 31.092225599749902],
  [3, 0.9, 0.95, 8.305944564922381],
  [4, 0.99, 0.95, 8.220655012577879],
  [5, 0.95, 0.95, 5.076874532059402],
  [7, 0.9, 0.9, 2.912761468699398],
  [10, 0.95, 0.95, 3.393429478712609],
  [15, 0.99, 0.99, 4.621173483113037],
  [20, 0.9, 0.95, 2.318791074601533],
  [30, 0.95, 0.5, 2.0139848037683907],
  [60, 0.99, 0.95, 3.06801635707663],
  [200, 0.95, 0.95, 2.1429443111105986],
  [1000, 0.95, 0.95, 2.0361142778759382],
];

// CMH-17-1G, tables 8.5.10 (k_B, itself an approximation, up to 0.0018 off the exact factor) and 8.5.11 (k_A); ISO 16269-6
// and NBS Handbook 91, table A-7, for the others on one side; Odeh and Owen (1980) for two.
const published: readonly [sides: "one" | "two", ...Row, tolerance: number][] = [
  ["one", 2, 0.9, 0.95, 20.581, 0.0021],
  ["one", 4, 0.9, 0.95, 4.163, 0.0021],
  ["one", 5, 0.9, 0.95, 3.408, 0.0021],
  ["one", 6, 0.9, 0.95, 3.007, 0.0021],
  ["one", 8, 0.9, 0.95, 2.583, 0.0021],
  ["one", 10, 0.9, 0.95, 2.355, 0.0021],
  ["one", 11, 0.9, 0.95, 2.276, 0.0021],
  ["one", 13, 0.9, 0.95, 2.156, 0.0021],
  ["one", 15, 0.9, 0.95, 2.069, 0.0021],
  ["one", 20, 0.9, 0.95, 1.927, 0.0021],
  ["one", 30, 0.9, 0.95, 1.778, 0.0021],
  ["one", 50, 0.9, 0.95, 1.646, 0.0021],
  ["one", 104, 0.9, 0.95, 1.522, 0.0021],
  ["one", 5, 0.9, 0.95, 3.406633262800808, 3.4e-7],
  ["one", 10, 0.9, 0.95, 2.354640131829059, 2.3e-7],
  ["one", 30, 0.9, 0.95, 1.7773287978334928, 1.7e-7],
  ["one", 3, 0.99, 0.95, 10.553, 0.0006],
  ["one", 5, 0.99, 0.95, 5.741, 0.0006],
  ["one", 6, 0.99, 0.95, 5.062, 0.0006],
  ["one", 8, 0.99, 0.95, 4.354, 0.0006],
  ["one", 10, 0.99, 0.95, 3.981, 0.0006],
  ["one", 15, 0.99, 0.95, 3.52, 0.0006],
  ["one", 30, 0.99, 0.95, 3.064, 0.0006],
  ["one", 10, 0.95, 0.95, 2.911, 0.0011],
  ["one", 5, 0.95, 0.95, 4.203, 0.0011],
  ["one", 30, 0.95, 0.95, 2.22, 0.0011],
  ["one", 10, 0.9, 0.9, 2.066, 0.0011],
  ["one", 10, 0.99, 0.99, 5.074, 0.0011],
  ["one", 10, 0.95, 0.9, 2.568, 0.0011],
  ["two", 2, 0.95, 0.95, 36.519, 0.0011],
  ["two", 5, 0.95, 0.95, 5.077, 0.0011],
  ["two", 10, 0.95, 0.95, 3.393, 0.0011],
  ["two", 30, 0.95, 0.95, 2.555, 0.0011],
  ["two", 5, 0.9, 0.95, 4.291, 0.0011],
  ["two", 10, 0.99, 0.95, 4.437, 0.0011],
];

describe("toleranceFactor", () => {
  it.each(oneSided)("one side, n = %d, content %d, confidence %d: %d", (n, content, confidence, factor) => {
    expect(Math.abs(factorOf("one", n, content, confidence) / factor - 1)).toBeLessThan(1e-12);
  });

  it.each(twoSided)("two sides, n = %d, content %d, confidence %d: %d", (n, content, confidence, factor) => {
    expect(Math.abs(factorOf("two", n, content, confidence) / factor - 1)).toBeLessThan(1e-12);
  });

  it.each(published)(
    "%s side(s), n = %d, content %d, confidence %d: %d as published",
    (sides, n, content, confidence, factor, tolerance) => {
      expect(Math.abs(factorOf(sides, n, content, confidence) - factor)).toBeLessThanOrEqual(tolerance);
    },
  );

  it("works at the ends of its range", () => {
    // For n → ∞ the factor tends to z(content): z(0.95) = 1.6448536, with the normal term z/√n √(1 + z²/2) above it.
    const z = 1.6448536269514722;
    expect(factorOf("one", 1_000_000, 0.95, 0.95)).toBeCloseTo(
      z + (z / 1000) * Math.sqrt(1 + (z * z) / 2),
      4,
    );
    // Two sides: k ≈ z(0.975)(1 + 1/2n)√(df/χ²(1 − confidence; df)) to order 1/n² (Wald and Wolfowitz 1946); with
    // χ² ≈ df − 1.6448536 √(2 df) + ⅔(1.6448536² − 1).
    const df = 999_999;
    const chi = df - z * Math.sqrt(2 * df) + (2 / 3) * (z * z - 1);
    expect(factorOf("two", 1_000_000, 0.95, 0.95)).toBeCloseTo(
      1.959963984540054 * (1 + 0.5e-6) * Math.sqrt(df / chi),
      8,
    );
    expect(factorOf("one", 2, 0.9999, 0.9999)).toBeGreaterThan(factorOf("one", 3, 0.9999, 0.9999));
    expect(factorOf("one", 1_000_000, 0.9999, 0.9999)).toBeLessThan(3.74);
    expect(factorOf("two", 2, 0.9999, 0.9999)).toBeGreaterThan(1e4);
  });

  it("at a content of one half is Student's t over √n", () => {
    // z(0.5) = 0: the central t. t(0.95; 4) = 2.131846786326649 (published tables; 2.132).
    expect(factorOf("one", 5, 0.5, 0.95)).toBeCloseTo(2.131846786326649 / Math.sqrt(5), 12);
  });

  it.each([
    [{ n: 1, content: 0.9, confidence: 0.95, sides: "one" as const }, "STAT_TOO_FEW"],
    [{ n: 2.5, content: 0.9, confidence: 0.95, sides: "one" as const }, "STAT_VALUE"],
    [{ n: 2e6, content: 0.9, confidence: 0.95, sides: "one" as const }, "STAT_VALUE"],
    [{ n: Number.NaN, content: 0.9, confidence: 0.95, sides: "one" as const }, "STAT_VALUE"],
    [{ n: 5, content: 1, confidence: 0.95, sides: "two" as const }, "STAT_VALUE"],
    [{ n: 5, content: 0.9, confidence: 95, sides: "two" as const }, "STAT_VALUE"],
    [{ n: 5, content: 0.9, confidence: 0.95, sides: "three" as "two" }, "INPUT_FIELD"],
  ])("refuses %o", (input, code) => {
    const answer = toleranceFactor(input);
    expect(answer.ok ? "" : answer.problems[0]?.code).toBe(code);
  });
});
