import { expect, it } from "vitest";
import type { StoredRecord } from "../../app/mod.ts";
import { builtInRecipe, recipeFields } from "../../splice/mod.ts";
import { mergeRecipe } from "./merge-recipe.ts";

type Recipe = StoredRecord<"recipe">;

const base: Recipe = {
  ...recipeFields.parse(builtInRecipe("crossed-tail-loop")),
  id: "r",
  revision: 1,
  createdAt: "2026-03-14T00:00:00Z",
  updatedAt: "2026-03-14T00:00:00Z",
};
const number = (value: number) => ({ value, spread: 0, source: "own choice" });
const steps = (...texts: string[]) => texts.map((text) => ({ text }));

it("lays what only one of two hands changed beside what the other did", () => {
  const mine = { ...base, name: "Mine", numbers: { contraction: number(0.07) } };
  const theirs = { ...base, revision: 2, crossings: 3, numbers: { crossing: number(1) } };
  const { patch, clashing } = mergeRecipe(base, mine, theirs);
  expect(clashing).toEqual([]);
  // Their crossings are not named, so they stay; numbers are one field of the record, so both stand in it.
  expect(patch).toEqual({ name: "Mine", numbers: { contraction: number(0.07), crossing: number(1) } });
});

it("lists what both changed otherwise, step by step, and nothing that both changed alike", () => {
  const before = { ...base, steps: steps("measure", "mark", "cut") };
  const mine = { ...before, name: "Loop", steps: steps("measure", "mark twice", "cut", "stitch") };
  const theirs = { ...before, revision: 2, name: "Loop", steps: steps("measure", "mark once", "cut") };
  const { patch, clashing, differences } = mergeRecipe(before, mine, theirs);
  expect(clashing).toEqual(["steps"]);
  expect(differences).toEqual([
    { label: "Step 2", mine: "mark twice", theirs: "mark once" },
    { label: "Step 4", mine: "stitch", theirs: "" },
  ]);
  expect(patch).toEqual({ name: "Loop", steps: mine.steps });
});

it("takes away a number that was emptied, and says both values of one that both changed", () => {
  const before = { ...base, numbers: { contraction: number(0.07), knot: number(30) } };
  const mine = { ...before, numbers: { contraction: number(0.06) } };
  const theirs = { ...before, revision: 2, numbers: { contraction: number(0.08), knot: number(30) } };
  const { patch, differences } = mergeRecipe(before, mine, theirs);
  expect(patch).toEqual({ numbers: { contraction: number(0.06) } });
  expect(differences).toEqual([{ label: "Contraction", mine: "6 %", theirs: "8 %" }]);
});
