import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { shareLegs, worseLoss, wraps } from "../mod.ts";

const value = <T>(answer: { ok: true; value: T } | { ok: false }): T => {
  if (!answer.ok) throw new Error("refused");
  return answer.value;
};

describe("share-legs", () => {
  test("equal legs carry alike, whatever their number", () => {
    const { tensionsN, worst, slack } = value(
      shareLegs({ loadN: 900, legs: [1, 2, 3].map(() => ({ stiffnessNPerM: 5e4 })) }),
    );
    for (const tension of tensionsN) expect(tension).toBeCloseTo(300, 9);
    expect(worst).toBeCloseTo(1, 12);
    expect(slack).toBe(0);
  });

  test("by hand: 5 mm longer at 100 kN/m is 500 N of difference; and a leg that never comes straight", () => {
    const legs = [{ stiffnessNPerM: 1e5 }, { stiffnessNPerM: 1e5, longerM: 0.005 }];
    const [short, long] = value(shareLegs({ loadN: 1000, legs })).tensionsN;
    expect(short).toBeCloseTo(750, 9);
    expect(long).toBeCloseTo(250, 9);
    expect(value(shareLegs({ loadN: 400, legs }))).toMatchObject({ tensionsN: [400, 0], slack: 1, worst: 2 });
  });

  test("1 % of length at 3 % of breaking strain takes a third of a leg's strength from it", () => {
    // TRADE arithmetic: T₂ / T₁ = 1 − 0.01/0.03 when leg 1 is at its breaking strain.
    const ea = 1e6;
    const [first, second] = value(
      shareLegs({
        loadN: ea * 0.03 * (2 - 1 / 3),
        legs: [{ stiffnessNPerM: ea }, { stiffnessNPerM: ea, longerM: 0.01 }],
      }),
    ).tensionsN;
    expect((second ?? 0) / (first ?? 1)).toBeCloseTo(2 / 3, 12);
  });

  test("the tensions add up to the load, none is below 0, and a leg made shorter carries more", () => {
    const leg = fc.record({
      stiffnessNPerM: fc.double({ min: 1e3, max: 1e7, noNaN: true }),
      longerM: fc.double({ min: 0.001, max: 0.2, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.array(leg, { minLength: 1, maxLength: 8 }),
        fc.double({ min: 1, max: 1e5, noNaN: true }),
        (legs, loadN) => {
          const { tensionsN } = value(shareLegs({ loadN, legs }));
          expect(tensionsN.reduce((sum, one) => sum + one, 0) / loadN).toBeCloseTo(1, 9);
          expect(Math.min(...tensionsN)).toBeGreaterThanOrEqual(0);
          const shorter = legs.map((one, i) => (i === 0 ? { ...one, longerM: one.longerM / 2 } : one));
          expect(value(shareLegs({ loadN, legs: shorter })).tensionsN[0]).toBeGreaterThanOrEqual(
            (tensionsN[0] ?? 0) * (1 - 1e-9),
          );
        },
      ),
    );
  });
});

describe("wraps", () => {
  test("equal lengths or frictionless pins hold as many legs as there are", () => {
    for (const turns of [1, 2, 3, 4]) {
      expect(value(wraps({ legN: 1000, wraps: turns, lengthSpread: 0 })).lowLegs).toBeCloseTo(2 * turns, 12);
      expect(value(wraps({ legN: 1000, wraps: turns, mu: 0, lengthSpread: 1 })).lowLegs).toBeCloseTo(
        2 * turns,
        12,
      );
    }
  });

  test("by hand: four legs with friction 0.1", () => {
    // 1 + 2 e^(−0.1π) + e^(−0.2π) = 1 + 1.46080 + 0.53349 = 2.99429.
    const { lowLegs, limitedBy } = value(wraps({ legN: 1, wraps: 2, lengthSpread: 0.035, mu: 0.1 }));
    expect(lowLegs).toBeCloseTo(2.99429, 5);
    expect(limitedBy).toBe("friction");
    // 1 + 3 (1 − 0.01/0.035) = 3.142857
    expect(value(wraps({ legN: 1, wraps: 2 })).lowLegs).toBeCloseTo(3.142857, 6);
  });

  test("more friction or a wider spread never hold more", () => {
    let last = Number.POSITIVE_INFINITY;
    for (const mu of [0, 0.05, 0.1, 0.2, 0.5]) {
      const { lowN, highN } = value(wraps({ legN: 1000, wraps: 3, lengthSpread: 0.03, mu }));
      expect(lowN).toBeLessThanOrEqual(last);
      expect(lowN).toBeLessThanOrEqual(highN);
      last = lowN;
    }
    expect(wraps({ legN: 1000, wraps: 0 }).ok).toBe(false);
    expect(wraps({ legN: -1, wraps: 2 }).ok).toBe(false);
  });
});

test("worse-loss takes the worse of termination and bend, never their product", () => {
  expect(worseLoss({ termination: 0.9, bend: 0.7 })).toMatchObject({
    value: { retention: 0.7, because: "bend" },
  });
  expect(worseLoss({ termination: 0.8, bend: 0.95 })).toMatchObject({
    value: { retention: 0.8, because: "termination" },
  });
  expect(worseLoss({ termination: 1, bend: 1 })).toMatchObject({ value: { because: "neither" } });
  expect(worseLoss({ termination: 0, bend: 2 }).ok).toBe(false);
});
