import { describe, expect, it } from "vitest";
import { extensionAt, forceAt, workAt } from "./toe-curve.ts";

const curve = { stiffnessNPerM: 500_000, toeM: 0.012 };

describe("toe curve", () => {
  it("holds the 3-4-5 triangle", () => {
    expect(forceAt({ stiffnessNPerM: 1000, toeM: 3 }, 4)).toBe(2000);
    expect(extensionAt({ stiffnessNPerM: 1000, toeM: 3 }, 2000)).toBe(4);
  });

  it("is undone by its inverse, also for a thousandth of a newton", () => {
    for (const forceN of [1e-3, 1, 250, 20_000]) {
      // The force is a difference of two lengths near the toe's: about toe × 1e-16 of rounding in metres.
      expect(Math.abs(forceAt(curve, extensionAt(curve, forceN)) - forceN)).toBeLessThan(
        1e-9 + 1e-12 * forceN,
      );
    }
  });

  it("carries nothing while slack", () => {
    expect(forceAt(curve, -0.01)).toBe(0);
    expect(forceAt(curve, 0)).toBe(0);
    expect(extensionAt(curve, 0)).toBe(0);
    expect(workAt(curve, -0.01)).toBe(0);
  });

  it("starts soft and ends at its stiffness", () => {
    const slope = (atM: number) => (forceAt(curve, atM + 1e-6) - forceAt(curve, atM)) / 1e-6;
    expect(slope(0) / curve.stiffnessNPerM).toBeLessThan(1e-3);
    // dF/de = k e / √(e² + a²), which at e = 100 a is k(1 − 5e-5).
    expect(slope(100 * curve.toeM) / curve.stiffnessNPerM).toBeCloseTo(1, 3);
  });

  it("gives as work what Simpson's rule finds under the curve", () => {
    const toM = 0.05;
    const n = 1000;
    let sum = 0;
    for (let i = 0; i <= n; i++)
      sum += (i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * forceAt(curve, (i * toM) / n);
    const simpson = (sum * toM) / (3 * n);
    expect(Math.abs(workAt(curve, toM) / simpson - 1)).toBeLessThan(1e-9); // Simpson's own error at this step
    expect(workAt({ stiffnessNPerM: 1000, toeM: 0 }, 2)).toBe(2000);
  });
});
