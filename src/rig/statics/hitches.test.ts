import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Result } from "../../problem/mod.ts";
import { basket, choke, customaryChokeAt } from "../mod.ts";

function given<T>(answer: Result<T>): T {
  if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join("; "));
  return answer.value;
}
const degrees = Math.PI / 180;

describe("basket: a rope under a round load", () => {
  test("the usual factors of a sling’s angle, legs at 0, 60, 90 and 120 degrees to each other", () => {
    // 1 / cos of half the angle, tabulated everywhere: 1, 1.155, 1.414, 2, of half the load each.
    for (const [includedAngleDeg, factor] of [
      [0, 1],
      [60, 2 / Math.sqrt(3)],
      [90, Math.SQRT2],
      [120, 2],
    ] as const)
      expect(given(basket({ loadN: 2000, includedAngleDeg })).evenN).toBeCloseTo(1000 * factor, 9);
  });

  test("upright legs share as the capstan says; 45 to 55 of a marine lift is a friction of 0.064", () => {
    // Marine lifting guideline 0027/ND revision 11, section 5.8: 45:55 over a bend, ln(55/45) / π = 0.06387.
    const { highN, lowN } = given(
      basket({ loadN: 100, includedAngleDeg: 0, mu: Math.log(55 / 45) / Math.PI }),
    );
    expect(highN).toBeCloseTo(55, 9);
    expect(lowN).toBeCloseTo(45, 9);
    expect(Math.log(55 / 45) / Math.PI).toBeCloseTo(0.0639, 4);
  });

  test("both legs’ pulls add up to the load, whatever the slope; the highest against brute force", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 175, noNaN: true }),
        fc.integer({ min: 0, max: 600 }).map((thousandths) => thousandths / 1000),
        (includedAngleDeg, mu) => {
          const { highN, lowN, evenN, wrapAngleRad } = given(basket({ loadN: 1000, includedAngleDeg, mu }));
          const angle = includedAngleDeg * degrees;
          const most = Math.exp(mu * wrapAngleRad);
          // Every ratio of legs that friction can hold: tighter · |(1, 0) + ρ (cos, sin)| = load.
          let highest = 0;
          for (let step = 0; step <= 4000; step++) {
            const ratio = 1 / most + ((1 - 1 / most) * step) / 4000;
            const resultant = Math.hypot(1 + ratio * Math.cos(angle), ratio * Math.sin(angle));
            highest = Math.max(highest, 1000 / resultant);
          }
          expect(highN / highest).toBeGreaterThanOrEqual(1 - 1e-12);
          expect(highN / highest).toBeLessThan(1 + 1e-4);
          expect(evenN).toBeLessThanOrEqual(highN * (1 + 1e-12));
          expect(lowN).toBeLessThanOrEqual(evenN * (1 + 1e-12));
        },
      ),
      { numRuns: 60 },
    );
  });

  test("legs that lead nowhere up are refused", () => {
    for (const includedAngleDeg of [-1, 180, Number.NaN])
      expect(basket({ loadN: 1, includedAngleDeg }).ok).toBe(false);
    expect(basket({ loadN: -1, includedAngleDeg: 10 }).ok).toBe(false);
    expect(basket({ loadN: 1, includedAngleDeg: 10, mu: -0.1 }).ok).toBe(false);
  });
});

describe("choke: a rope drawn through its own eye", () => {
  test("three equal pulls lie at 120 degrees; beaten down, the eye’s leg is the rhombus’ diagonal", () => {
    const at = (chokeDeg: number) => given(choke({ tensionN: 1000, chokeDeg }));
    expect(at(120).eyeLegN).toBeCloseTo(1000, 9);
    expect(at(120).ownLowDeg).toBeCloseTo(120, 9);
    expect(at(90).eyeLegN).toBeCloseTo(1000 * Math.SQRT2, 9);
    expect(at(60).eyeLegN).toBeCloseTo(1000 * Math.sqrt(3), 9);
    // Wider than 120 degrees the standing part itself is the tightest.
    expect(at(150).highestN).toBe(1000);
  });

  test("the angles that a free load keeps widen with friction as slingers find them: up to 135 degrees", () => {
    // At friction 0.3 in the eye: 2 cos φ = e^(0.3 φ) at φ = 0.8575 and 2 cos φ = e^(−0.3 φ) at φ = 1.1935, by halving.
    const { ownLowDeg, ownHighDeg } = given(choke({ tensionN: 1, chokeDeg: 120, mu: 0.3 }));
    for (const [angle, sign] of [
      [ownLowDeg, -1],
      [ownHighDeg, 1],
    ] as const) {
      const turn = (180 - angle) * degrees;
      expect(2 * Math.cos(turn)).toBeCloseTo(Math.exp(sign * 0.3 * turn), 9);
    }
    expect(ownLowDeg).toBeGreaterThan(105);
    expect(ownLowDeg).toBeLessThan(120);
    expect(ownHighDeg).toBeGreaterThan(120);
    expect(ownHighDeg).toBeLessThan(136);
  });

  test("no state that friction allows is tighter than what is told, and a harder pull is never easier", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 179, noNaN: true }),
        fc.integer({ min: 0, max: 500 }).map((thousandths) => thousandths / 1000),
        (chokeDeg, mu) => {
          const { highestN, bodyLowN, bodyHighN } = given(choke({ tensionN: 1000, chokeDeg, mu }));
          for (let step = 0; step <= 200; step++) {
            const body = bodyLowN + ((bodyHighN - bodyLowN) * step) / 200;
            const x = body * Math.sin(chokeDeg * degrees);
            const y = 1000 + body * Math.cos(chokeDeg * degrees);
            expect(Math.max(1000, body, Math.hypot(x, y))).toBeLessThanOrEqual(highestN * (1 + 1e-12));
          }
          expect(given(choke({ tensionN: 1100, chokeDeg, mu })).highestN / highestN).toBeCloseTo(1.1, 9);
        },
      ),
      { numRuns: 60 },
    );
  });

  test("what is customarily left at an angle, row by row as sling makers print it", () => {
    // Over 120: 100 %, 90 to 120: 87 %, 60 to 89: 74 %, 30 to 59: 62 %, below 30: 49 % (ASME B30.9-2010).
    expect([135, 121, 120, 90, 89, 60, 59, 30, 29, 5].map(customaryChokeAt)).toEqual([
      1, 1, 0.87, 0.87, 0.74, 0.74, 0.62, 0.62, 0.49, 0.49,
    ]);
  });

  test("an angle of nothing, a rope straight through its eye, and impossible friction are refused", () => {
    for (const chokeDeg of [0, 180, -5, Number.NaN]) expect(choke({ tensionN: 1, chokeDeg }).ok).toBe(false);
    expect(choke({ tensionN: 0, chokeDeg: 120 }).ok).toBe(false);
    expect(choke({ tensionN: 1, chokeDeg: 120, mu: 11 }).ok).toBe(false);
  });
});
