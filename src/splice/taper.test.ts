import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { planTaper } from "./taper.ts";

function taperOf(input: Parameters<typeof planTaper>[0]) {
  const taper = planTaper(input);
  if (!taper.ok) throw new Error(JSON.stringify(taper.problems));
  return taper.value;
}

describe("a taper", () => {
  it("is, by hand, 5 pairs over 60 mm down to 2 strands, 12 mm apart", () => {
    const { steps, stretches, meanShare, picksPerStep } = taperOf({
      taperMm: 60,
      strands: 12,
      strandsLeft: 2,
      pickLengthMm: 4,
    });
    expect(steps.map(({ fromTipMm }) => fromTipMm)).toEqual([60, 48, 36, 24, 12]);
    expect(steps.map(({ strandsAfter }) => strandsAfter)).toEqual([10, 8, 6, 4, 2]);
    expect(steps.map(({ picksFromStart }) => picksFromStart)).toEqual([0, 3, 6, 9, 12]);
    expect(picksPerStep).toBe(3);
    expect(stretches[0]).toEqual({ fromTipMm: 0, toTipMm: 12, strands: 2, share: 2 / 12 });
    // (10 + 8 + 6 + 4 + 2)/(5 · 12)
    expect(meanShare).toBeCloseTo(0.5, 15);
  });

  it("takes as many strands of each hand at every step, each strand once, and covers its length once", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }),
        fc.integer({ min: 0, max: 11 }),
        fc.double({ min: 1, max: 1000, noNaN: true }),
        (pairs, left, taperMm) => {
          fc.pre(left < pairs);
          const { steps, stretches, meanShare } = taperOf({
            taperMm,
            strands: 2 * pairs,
            strandsLeft: 2 * left,
          });
          expect(steps.length).toBe(pairs - left);
          expect(new Set(steps.map((step) => step.left)).size).toBe(steps.length);
          expect(new Set(steps.map((step) => step.right)).size).toBe(steps.length);
          const covered = stretches.reduce((sum, { fromTipMm, toTipMm }) => sum + toTipMm - fromTipMm, 0);
          expect(covered).toBeCloseTo(taperMm, 9);
          const area = stretches.reduce((sum, s) => sum + s.share * (s.toTipMm - s.fromTipMm), 0);
          expect(area / taperMm).toBeCloseTo(meanShare, 9);
        },
      ),
    );
  });

  it("uses every pair of the rope by the time none is left", () => {
    const { steps } = taperOf({ taperMm: 60, strands: 12, strandsLeft: 0 });
    expect(steps.map((step) => step.left).toSorted()).toEqual(["L1", "L2", "L3", "L4", "L5", "L6"]);
  });

  it.each([
    [{ taperMm: 60, strands: 12, strandsLeft: 14 }, "taperStrandsLeft", "14"],
    [{ taperMm: 60, strands: 12, strandsLeft: 3 }, "taperStrandsLeft", "3"],
    [{ taperMm: 60, strands: 9, strandsLeft: 1 }, "strands", "9"],
    [{ taperMm: 15, strands: 12, strandsLeft: 2, pickLengthMm: 4 }, "buryTaperDiameters", "15 mm"],
  ])("refuses %j and says what to change", (input, field, found) => {
    const taper = planTaper(input);
    expect(taper.ok).toBe(false);
    if (!taper.ok) expect(taper.problems[0]).toMatchObject({ code: "SPLICE_TAPER", where: { field }, found });
  });
});
