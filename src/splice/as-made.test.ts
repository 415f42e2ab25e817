import { expect, it } from "vitest";
import { buriesAsMade, governingBury, outOfRecipe } from "./as-made.ts";
import { builtInRecipe } from "./built-in-recipes.ts";
import { compareRecipes } from "./compare-recipes.ts";
import { planCutSheet } from "./cut-sheet.ts";
import { recipeFields } from "./recipe.ts";
import { ropeFields } from "./rope.ts";

const recipe = builtInRecipe("crossed-tail-loop");

it("says what was made otherwise than by the recipe, in diameters", () => {
  // 147/6 = 24.5 d against 30 d; 66/6 = 11 d is within 1 d of 10.
  const made = {
    buryFullMm: 147,
    buryTaperMm: 66,
    secondBuryFullMm: 186.1,
    picksPerStep: [3, 3, 3],
    secondPicksPerStep: [3, 3, 3, 3, 3],
  };
  expect(outOfRecipe(made, recipe, 6).map(({ sentence }) => sentence)).toEqual([
    "bury 24.5 d, recipe 30 d",
    "second bury 31 d, recipe 30 d",
    "steps of the taper 3, recipe 5",
  ]);
  expect(outOfRecipe({ buryFullMm: 180, secondBuryFullMm: 186 }, recipe, 6)).toEqual([]);
  expect(outOfRecipe({}, recipe, 6)).toEqual([]);
});

it("takes what was made before the recipe, and the shorter bury for a strength", () => {
  expect(buriesAsMade({ buryFullMm: 147, secondBuryTaperMm: 50 }, recipe, 6)).toEqual([
    { fullMm: 147, taperMm: 60 },
    { fullMm: 147, taperMm: 50 },
  ]);
  expect(
    governingBury({ buryFullMm: 147, buryTaperMm: 60, secondBuryFullMm: 140, secondBuryTaperMm: 50 }),
  ).toEqual({
    fullMm: 140,
    taperMm: 50,
  });
  expect(governingBury({ buryFullMm: 147 })).toEqual({ fullMm: 147 });
  expect(governingBury({})).toEqual({});
});

it("puts specimens that are alike into one batch, with its setting load, mass and cost by hand, and the others apart", () => {
  const rope = {
    id: "r",
    ...ropeFields.parse({
      name: "Line",
      nominalDiameterMm: 6,
      massPerLengthGPerM: 20,
      ratedStrengthN: 40_000,
    }),
  };
  const alike = {
    levels: "",
    maker: "",
    rope,
    recipe: { id: "x", version: 2, ...recipe },
    wanted: { lengthMm: 600, measure: "inside" as const },
    pricePerM: 2,
    currency: "EUR",
  };
  const sheet = planCutSheet("Loops", [
    { id: "1", label: "A1", ...alike },
    { id: "2", label: "A2", ...alike },
    { id: "3", label: "A3", ...alike, wanted: { lengthMm: 150, measure: "inside" } },
    { id: "4", label: "A4", levels: "", maker: "", rope },
  ]);
  expect(sheet.batches).toHaveLength(1);
  const [batch] = sheet.batches;
  expect(batch?.specimens.map(({ label }) => label)).toEqual(["A1", "A2"]);
  expect(batch?.setLoadN).toBeCloseTo(0.15 * 40_000 * 2, 9);
  // 2 · 1.74655 m: at 20 g/m 69.9 g, at 2 a metre 6.99.
  expect(batch?.massG).toBeCloseTo(69.86, 2);
  expect(batch?.cost?.value).toBeCloseTo(6.986, 3);
  expect(sheet.ropeM).toBeCloseTo(3.4931, 4);
  expect(sheet.open.map(({ label, problems }) => [label, problems.map(({ code }) => code)])).toEqual([
    ["A4", ["SPLICE_SHEET", "SPLICE_SHEET"]],
    ["A3", ["SPLICE_TOO_SHORT"]],
  ]);
});

it("sets recipes side by side: means over what is known, strength once pulled, a bound or the reason for none", () => {
  const rows = compareRecipes([
    { ropeName: "6 mm", recipeName: "loop", cutLengthMm: 1700, strengthN: 50_000 },
    { ropeName: "6 mm", recipeName: "loop", cutLengthMm: 1800, makingMinutes: 20, strengthN: 54_000 },
    { ropeName: "6 mm", recipeName: "loop", strengthN: 52_000 },
    { ropeName: "6 mm", recipeName: "eye" },
  ]);
  expect(rows[0]).toMatchObject({
    specimens: 3,
    cutLengthMm: { mean: 1750, n: 2 },
    makingMinutes: { mean: 20, n: 1 },
    pulled: 3,
    meanStrengthN: 52_000,
  });
  // 95/95 one-sided, n = 3: factor 7.656 (ISO 16269-6:2014, table), SD 2000.
  const bound = rows[0]?.lowerBoundN;
  expect(bound?.ok && bound.value).toBeCloseTo(52_000 - 7.656 * 2000, -1);
  expect(rows[1]).toMatchObject({ specimens: 1, pulled: 0, lowerBoundN: { ok: false } });
  expect(recipeFields.safeParse(recipe).success).toBe(true);
});
