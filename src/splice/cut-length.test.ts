import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { builtInRecipeIds } from "./built-in-ids.ts";
import { builtInRecipe, builtInRecipes } from "./built-in-recipes.ts";
import { fidDiameters } from "./customary.ts";
import { type CutLength, cutLength, finishedLength } from "./cut-length.ts";
import type { SpliceJob } from "./resolve-job.ts";

const rope = { nominalDiameterMm: 6, construction: "12-strand braid" };
const loop: SpliceJob = { rope, recipe: builtInRecipe("crossed-tail-loop"), state: { measure: "inside" } };

function cutOf(job: SpliceJob, finishedMm: number): CutLength {
  const cut = cutLength(job, finishedMm);
  if (!cut.ok) throw new Error(JSON.stringify(cut.problems));
  return cut.value;
}

function problemOf(job: SpliceJob, finishedMm: number) {
  const cut = cutLength(job, finishedMm);
  if (cut.ok) throw new Error(`not refused: ${cut.value.cutLengthMm}`);
  return cut.problems[0];
}

describe("worked by hand (docs/methods/cut-length.md)", () => {
  it("a crossed-tail loop of 600 mm inside, laid flat, in 6 mm rope", () => {
    const cut = cutOf(loop, 600);
    const value = Object.fromEntries(cut.terms.map(({ name, valueMm }) => [name, valueMm]));
    expect(value["path"]).toBeCloseTo(1200 + 6 * Math.PI, 9); // 1218.850
    expect(value["tails"]).toBeCloseTo(2 * (180 + 60), 9);
    expect(value["contraction"]).toBeCloseTo(0.085 * 2 * (180 + 30), 9); // 35.7
    expect(value["crossings"]).toBeCloseTo(2 * 6, 9);
    expect(cut.cutLengthMm).toBeCloseTo(1746.55, 2);
    // √((420 · 0.07/√12)² + (12 · 2/√12)² + 1.5²) = √(8.487² + 6.928² + 1.5²) = 11.06; half of it along the loop.
    expect(cut.cutUncertaintyMm).toBeCloseTo(11.06, 2);
    expect(cut.finishedUncertaintyMm).toBeCloseTo(11.06 / 2, 2);
    // Tails 480 and 30 clear of a path of 1218.85.
    expect(cut.spareMm).toBeCloseTo(1218.85 - 510, 2);
    expect(cut.shortestMm).toBeCloseTo((510 - 6 * Math.PI) / 2, 6); // 245.58
  });

  it("the same at 5 kN on rope of 500 kN stiffness, bedded in", () => {
    const stiff = { ...rope, stiffnessN: 500_000, stiffnessSpreadN: 50_000 };
    const cut = cutOf({ ...loop, rope: stiff, state: { measure: "inside", tensionN: 5000 } }, 600);
    // s = 0.5 · 5000/500 000 = 0.005, b = 0.025, q = 480/2 = 240: (1218.850 + 1.2)/(1.005 · 1.025) = 1184.371.
    const path = (1200 + 6 * Math.PI + 1.2) / 1.030125;
    expect(path).toBeCloseTo(1184.371, 2);
    expect(cut.cutLengthMm).toBeCloseTo(path + 480 + 35.7 + 12, 9);
    expect(cut.slackLengthMm).toBeCloseTo((path - 6 * Math.PI) / 2, 9);
  });

  it("a line of 3 m with two straight-bury eyes of 100 mm in 10 mm rope", () => {
    const eyes: SpliceJob = {
      rope: { ...rope, nominalDiameterMm: 10 },
      recipe: builtInRecipe("straight-bury-eye"),
      state: { measure: "inside", nearEyeMm: 100, farEyeMm: 100 },
    };
    const cut = cutOf(eyes, 3000);
    // Each eye 215.958 round for 100 inside; tails 4 · (540 + 180)/2; contraction 0.085 · 2 · (540 + 90).
    expect(cut.cutLengthMm).toBeCloseTo(3000 + 2 * 115.958 + 1440 + 107.1, 2);
    expect(cut.shortestMm).toBeCloseTo(100 + 100 + 1440 + 50, 9);
  });

  it("a soft shackle of 100 mm between pin centres on pins of 20 mm", () => {
    const shackle: SpliceJob = {
      rope,
      recipe: builtInRecipe("soft-shackle-button"),
      state: { measure: "pin centres", nearPinMm: 20, farPinMm: 20 },
    };
    // Twice (2 · 100 + 26 π), one crossing 6, knot 2 · 30 · 6, noose 2 · 2 · 6, tails 2 · 10 · 6.
    expect(cutOf(shackle, 100).cutLengthMm).toBeCloseTo(2 * (200 + 26 * Math.PI) + 6 + 360 + 24 + 120, 9);
  });

  it("a grommet of 3 parts and an end-to-end splice", () => {
    const grommet = { ...loop, recipe: builtInRecipe("grommet") };
    expect(cutOf(grommet, 500).cutLengthMm).toBeCloseTo(
      3 * (1000 + 6 * Math.PI) + 2 * 72 * 6 + 0.085 * 2 * (54 + 9) * 6 + 12,
      9,
    );
    const joined = { ...loop, recipe: builtInRecipe("end-to-end") };
    const cut = cutOf(joined, 2000);
    expect(cut.cutLengthMm).toBeCloseTo(2000 + 864 + 0.085 * 756 + 12, 9);
    expect([cut.pieces, cut.pieceMm]).toEqual([2, cut.cutLengthMm / 2]);
  });
});

describe("there and back", () => {
  const states = fc.record({
    measure: fc.constantFrom("inside", "pin centres", "circumference"),
    tensionN: fc.option(fc.double({ min: 0, max: 50_000, noNaN: true }), { nil: undefined }),
    bedded: fc.boolean(),
    nearPinMm: fc.double({ min: 12, max: 100, noNaN: true }),
    farPinMm: fc.double({ min: 12, max: 100, noNaN: true }),
  });

  it("comes out at the asked length to 1e-9 of it, whatever the recipe, the pins and the tension", () => {
    let worked = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...builtInRecipeIds),
        states,
        fc.double({ min: 2, max: 6, noNaN: true }),
        fc.double({ min: 300, max: 20_000, noNaN: true }),
        fc.option(fc.double({ min: 1e5, max: 1e8, noNaN: true }), { nil: undefined }),
        (id, state, nominalDiameterMm, finishedMm, stiffnessN) => {
          const job: SpliceJob = {
            rope: { nominalDiameterMm, construction: "12-strand braid", stiffnessN },
            recipe: builtInRecipe(id),
            state: state as SpliceJob["state"],
          };
          const cut = cutLength(job, finishedMm);
          if (!cut.ok) return;
          worked += 1;
          const back = finishedLength(job, cut.value.cutLengthMm);
          if (!back.ok) throw new Error(JSON.stringify(back.problems));
          expect(Math.abs(back.value.finishedLengthMm / finishedMm - 1)).toBeLessThan(1e-9);
          expect(Math.abs(back.value.cutLengthMm / cut.value.cutLengthMm - 1)).toBeLessThan(1e-9);
          const sum = cut.value.terms.reduce((total, { valueMm }) => total + valueMm, 0);
          expect(sum).toBeCloseTo(cut.value.cutLengthMm, 6);
        },
      ),
      { numRuns: 400 },
    );
    expect(worked).toBeGreaterThan(100);
  });

  it("gives the shortest as the least that is not refused", () => {
    for (const { id, fields } of builtInRecipes) {
      const job: SpliceJob = {
        rope: { ...rope, stiffnessN: 900_000 },
        recipe: fields,
        state: { measure: "inside", tensionN: id === "grommet" ? 0 : 4000, nearPinMm: 12, farPinMm: 16 },
      };
      const { shortestMm } = cutOf(job, 9000);
      expect(cutLength(job, shortestMm + 1e-6).ok, id).toBe(true);
      expect(cutLength(job, shortestMm - 1e-3).ok, id).toBe(false);
    }
  });
});

describe("common practice, no published source", () => {
  it("a long fid is 21 d, and a long bury of 3.5 fids about 72 d, the taper counted in", () => {
    expect(fidDiameters).toBe(21);
    expect(Math.abs(3.5 * fidDiameters - 72)).toBeLessThan(2);
    for (const id of ["straight-bury-eye", "end-to-end"] as const) {
      const { buryFullDiameters = 0, buryTaperDiameters = 0 } = builtInRecipe(id);
      expect(buryFullDiameters + buryTaperDiameters).toBe(72);
    }
  });

  it("crossed tails are buried 30 d at full thickness, and every tail passes between six and six strands", () => {
    expect(builtInRecipe("crossed-tail-loop").buryFullDiameters).toBe(30);
    for (const { fields } of builtInRecipes) expect(fields.strandsEachSide).toBe(6);
  });

  it("every default says where it comes from, and every recipe its steps", () => {
    for (const { fields } of builtInRecipes) {
      expect(fields.burySource).toMatch(/no published source|Differs from maker to maker/i);
      expect(fields.steps.length).toBeGreaterThan(4);
      for (const { source } of cutOf({ ...loop, recipe: fields }, 5000).terms) expect(source).not.toBe("");
    }
  });
});

describe("what cannot be made is refused with the number that must change", () => {
  it("tails that overlap, by how much", () => {
    // Path 2 · 200 + 18.85 = 418.85; tails 480: 61.15 too many. Full bury at most (418.85 − 30 − 120)/2 = 134.4 = 22.4 d.
    expect(problemOf(loop, 200)).toMatchObject({
      code: "SPLICE_TOO_SHORT",
      message: expect.stringContaining("overlap by 61.2 mm"),
      wayOut: "Make the finished length at least 245.6 mm, or the full bury at most 22.4 d (134.4 mm).",
    });
    const { wayOut } = problemOf(loop, 200) ?? {};
    expect(wayOut).toBeDefined();
    expect(cutLength({ ...loop, recipe: { ...loop.recipe, buryFullDiameters: 22.4 } }, 200).ok).toBe(true);
    expect(cutLength({ ...loop, recipe: { ...loop.recipe, buryFullDiameters: 22.5 } }, 200).ok).toBe(false);
  });

  it("tails that would end nearer than the recipe leaves clear", () => {
    expect(problemOf(loop, 240)?.message).toMatch(/would end 18.8 mm apart, 11.2 mm less/);
  });

  it("a pin thinner than the rope allows", () => {
    expect(problemOf({ ...loop, state: { measure: "inside", nearPinMm: 10 } }, 600)).toMatchObject({
      code: "SPLICE_PIN",
      where: { field: "nearPinMm" },
      found: "10 mm",
      expected: "at least 12 mm",
      wayOut: "Take a pin of 12 mm or more, or rope of 5 mm or less.",
    });
  });

  it("a rope with other strands, and one that does not say", () => {
    expect(problemOf({ ...loop, rope: { ...rope, construction: "8-strand braid" } }, 600)).toMatchObject({
      code: "SPLICE_CONSTRUCTION",
      found: "8-strand braid",
      expected: "12-strand braid",
      wayOut: "Take a 12-strand rope, or a recipe with 4 strands on each side.",
    });
    expect(problemOf({ ...loop, rope: { ...rope, construction: "parallel yarns" } }, 600)?.code).toBe(
      "SPLICE_CONSTRUCTION",
    );
  });

  it("a taper to more strands than the rope has", () => {
    expect(problemOf({ ...loop, recipe: { ...loop.recipe, taperStrandsLeft: 14 } }, 600)).toMatchObject({
      code: "SPLICE_TAPER",
      found: "14",
      wayOut: "Leave 10 strands at the tip.",
    });
  });

  it.each([0, -3, Number.NaN, Number.POSITIVE_INFINITY])("a finished or cut length of %s", (length) => {
    expect(problemOf(loop, length)).toMatchObject({ code: "SPLICE_LENGTH", where: { field: "lengthMm" } });
    expect(finishedLength(loop, length)).toMatchObject({ ok: false, problems: [{ code: "SPLICE_LENGTH" }] });
  });

  it("a loop shorter than its pins, an eye shorter than its pin, a recipe without a bury, a kind unknown", () => {
    const pins = { measure: "inside", nearPinMm: 50, farPinMm: 50 } as const;
    expect(problemOf({ ...loop, state: pins }, 90)).toMatchObject({
      code: "SPLICE_LENGTH",
      expected: "more than 100 mm",
    });
    const eye = { ...loop, recipe: builtInRecipe("straight-bury-eye") };
    expect(problemOf({ ...eye, state: { ...pins, nearEyeMm: 52 } }, 5000)).toMatchObject({
      code: "SPLICE_LENGTH",
      where: { field: "nearEyeMm" },
      expected: "more than 53 mm",
    });
    const { buryFullDiameters: _, ...open } = loop.recipe;
    expect(problemOf({ ...loop, recipe: open }, 600)?.code).toBe("SPLICE_BURY");
    expect(problemOf({ ...loop, recipe: { ...loop.recipe, kind: "other" } }, 600)?.code).toBe("SPLICE_KIND");
    expect(problemOf({ ...eye, state: { measure: "circumference" } }, 5000)?.code).toBe("SPLICE_MEASURE");
  });

  it("a cut that its buries use up", () => {
    expect(finishedLength(loop, 400)).toMatchObject({ ok: false, problems: [{ code: "SPLICE_TOO_SHORT" }] });
  });

  it("and says where a stretch is left out", () => {
    const cut = cutLength({ ...loop, state: { measure: "inside", tensionN: 5000 } }, 600);
    expect(cut.ok && cut.warnings.map(({ code }) => code)).toEqual(["SPLICE_STIFFNESS"]);
  });
});
