import { describe, expect, it } from "vitest";
import { createRandom, type Random } from "../stats/mod.ts";
import { builtInRecipe } from "./built-in-recipes.ts";
import { customaryNumber } from "./customary.ts";
import { cutLength } from "./cut-length.ts";
import { learnCrossing } from "./learn-crossing.ts";
import { observeCrossings } from "./observe.ts";
import type { JobRecipe, SpliceJob } from "./resolve-job.ts";

const rope = { nominalDiameterMm: 6, construction: "12-strand braid" };
const customary = customaryNumber("crossing", "crossed-tail loop");
const number = (value: number) => ({ value, spread: 0, source: "" });

/** One loop of 900 mm with this bury, made by these numbers. */
function madeWith(buryFullDiameters: number, contraction: number, crossing: number) {
  const recipe: JobRecipe = { ...builtInRecipe("crossed-tail-loop"), buryFullDiameters };
  const job: SpliceJob = { rope, recipe, state: { measure: "inside" } };
  const cut = cutLength(
    { ...job, learned: { contraction: number(contraction), crossing: number(crossing) } },
    900,
  );
  if (!cut.ok) throw new Error(JSON.stringify(cut.problems));
  const said = observeCrossings({ job, cutLengthMm: cut.value.cutLengthMm, finishedLengthMm: 900 });
  if (said === undefined) throw new Error("nothing observed");
  return said;
}

describe("what a crossing takes up", () => {
  it("is told from the contraction by buries that differ: splices made by known numbers give them back", () => {
    const made = [18, 24, 30, 36, 48, 60].map((bury) => madeWith(bury, 0.071, 1.37));
    // By hand, of 30 d: fattened 2 · (180 + 0.5 · 60) = 420 mm, two crossings of 6 mm: 12/420.
    expect(made[2]?.perCrossing).toBeCloseTo(12 / 420, 12);
    expect(made[2]?.withCrossings).toBeCloseTo(0.071 + (1.37 * 12) / 420, 12);
    const learned = learnCrossing("loops", made, customary);
    expect(learned?.estimate).toBeCloseTo(1.37, 8);
    expect(learned).toMatchObject({ name: "crossing", n: 6, used: true });
  });

  it("is not told where all buries are alike, nor by too few", () => {
    const alike = [0.07, 0.075, 0.08, 0.085, 0.09].map((contraction) => madeWith(30, contraction, 1));
    expect(learnCrossing("loops", alike, customary)).toBeUndefined();
    const nearly = [29.8, 30, 30.1, 30.2, 29.9].map((bury, i) => madeWith(bury, 0.07 + 0.005 * (i % 3), 1));
    expect(learnCrossing("loops", nearly, customary)).toMatchObject({
      used: false,
      why: expect.stringContaining("buries that differ more"),
    });
    const few = [24, 36, 48].map((bury) => madeWith(bury, 0.071, 1.37));
    expect(learnCrossing("loops", few, customary)).toMatchObject({
      used: false,
      why: "3 of 5 specimens of this rope and kind of splice",
    });
    const none = observeCrossings({
      job: { rope, recipe: builtInRecipe("straight-bury-eye"), state: { measure: "inside" } },
      cutLengthMm: 3000,
      finishedLengthMm: 2000,
    });
    expect(none).toBeUndefined();
  });

  it("lies in its interval as often as that claims, where single splices stray in their contraction", () => {
    // 400 lofts of 18 loops with known truth: 95 % must hold it, with an error of 1.1 % from counting.
    const random = createRandom(61_125);
    const held = Array.from({ length: 400 }, () => loft(random)).filter(Boolean).length / 400;
    expect(held).toBeGreaterThan(0.91);
    expect(held).toBeLessThan(0.985);
  });
});

function loft(random: Random): boolean {
  const made = [24, 36, 72].flatMap((bury) =>
    Array.from({ length: 6 }, () => {
      const { withCrossings, perCrossing } = madeWith(bury, 0.08, 1.2);
      return { withCrossings: withCrossings + 0.012 * random.normal(), perCrossing };
    }),
  );
  const learned = learnCrossing("loops", made, customary);
  if (learned === undefined) throw new Error("nothing learned");
  return learned.interval[0] <= 1.2 && 1.2 <= learned.interval[1];
}
