import { type BuiltInRecipeId, builtInRecipeIds } from "./built-in-ids.ts";
import { builtInSteps } from "./built-in-steps.ts";
import { type RecipeFields, recipeFields } from "./recipe.ts";

/** A recipe that comes with the program; a book takes it over as its own and changes what it likes. */
export type BuiltInRecipe = { readonly id: BuiltInRecipeId; readonly fields: RecipeFields };

const practice = "Common practice, no published source";
/** 10 to 20 % of the rated strength, held 10 to 60 s: common practice on small benches, no published source. */
const setting = { setShare: 0.15, setHoldS: 30 };
const taper = "tapered in pairs, one strand of each hand, every 2 to 4 picks over 10 to 25 d";
const whole = { taperStrandsLeft: 2, strandsEachSide: 6, ...setting };

const shackle = (knot: "button" | "diamond", tails: "cut" | "re-buried") => ({
  kind: "soft shackle" as const,
  variant: `${knot} knot, tails ${tails}` as const,
  legs: 4,
  crossings: 1,
  lockStitch: "",
  ...whole,
  setHoldS: 60,
  ...(tails === "cut"
    ? { burySource: `${practice}: the knot governs; the tails are cut off short below it.` }
    : {
        numbers: { tail: { value: 0, source: "the tip of the taper is the end of the rope" } },
        buryFullDiameters: 15,
        buryTaperDiameters: 10,
        burySource: `Own choice, no published source: tails go back into the legs, ${taper}.`,
      }),
});

const fields: Readonly<
  Record<BuiltInRecipeId, Omit<Parameters<typeof recipeFields.parse>[0] & object, "steps">>
> = {
  "straight-bury-eye": {
    name: "Straight-bury eye with lock stitch",
    kind: "straight-bury eye",
    buryFullDiameters: 54,
    buryTaperDiameters: 18,
    burySource: `${practice}: 72 d (3.5 fids of 21 d) with the taper counted in, seen 50 to 100 d; ${taper}.`,
    crossings: 0,
    lockStitch:
      "Whipping twine, through host and tail from the throat along 5 d and back, six passes, not pulled tight.",
    stitchDiameters: 5,
    legs: 1,
    ...whole,
  },
  "brummel-both-ends-free": {
    name: "Locking brummel eye, both ends free",
    kind: "locking brummel eye",
    variant: "both ends free",
    buryFullDiameters: 45,
    buryTaperDiameters: 18,
    burySource: `${practice}: 54 to 72 d with the taper counted in, here 63 d (3 fids of 21 d); ${taper}.`,
    crossings: 2,
    legs: 1,
    ...whole,
  },
  "brummel-one-end-free": {
    name: "Locking brummel eye, one end free",
    kind: "locking brummel eye",
    variant: "one end free",
    buryFullDiameters: 45,
    buryTaperDiameters: 18,
    burySource: `${practice}: 54 to 72 d with the taper counted in, here 63 d (3 fids of 21 d); ${taper}.`,
    crossings: 2,
    legs: 1,
    ...whole,
  },
  "end-to-end": {
    name: "End-to-end splice",
    kind: "end-to-end",
    buryFullDiameters: 54,
    buryTaperDiameters: 18,
    burySource: `${practice}: two opposed buries of 72 d each with the taper counted in; ${taper}.`,
    crossings: 2,
    lockStitch: "Whipping twine, from the crossing along 5 d each way and back, six passes.",
    stitchDiameters: 5,
    legs: 1,
    ...whole,
  },
  "crossed-tail-loop": {
    name: "Crossed-tail loop",
    kind: "crossed-tail loop",
    buryFullDiameters: 30,
    buryTaperDiameters: 10,
    burySource: `${practice}: 30 to 72 d each side, here 30 d at full thickness with the taper beyond it; ${taper}.`,
    crossings: 2,
    legs: 2,
    ...whole,
  },
  grommet: {
    name: "Grommet of 3 parts",
    kind: "grommet",
    buryFullDiameters: 54,
    buryTaperDiameters: 18,
    burySource: `Differs from maker to maker; here as an end-to-end splice. ${practice}; ${taper}.`,
    crossings: 2,
    legs: 6,
    wraps: 3,
    ...whole,
  },
  "soft-shackle-button": { name: "Soft shackle, button knot, tails cut", ...shackle("button", "cut") },
  "soft-shackle-button-re-buried": {
    name: "Soft shackle, button knot, tails re-buried",
    ...shackle("button", "re-buried"),
  },
  "soft-shackle-diamond": { name: "Soft shackle, diamond knot, tails cut", ...shackle("diamond", "cut") },
  "soft-shackle-diamond-re-buried": {
    name: "Soft shackle, diamond knot, tails re-buried",
    ...shackle("diamond", "re-buried"),
  },
};

/**
 * The recipes that come with the program, by the trade's names, each complete: numbers in diameters, steps, and where
 * every default comes from. A number that a recipe leaves open is the customary one.
 */
export const builtInRecipes: readonly BuiltInRecipe[] = builtInRecipeIds.map((id) => ({
  id,
  fields: recipeFields.parse({ ...fields[id], steps: builtInSteps(id), basedOn: id }),
}));

/** A recipe of the program by its id. */
export function builtInRecipe(id: BuiltInRecipeId): RecipeFields {
  const found = builtInRecipes.find((recipe) => recipe.id === id);
  if (found === undefined) throw new Error(`There is no recipe "${id}".`);
  return found.fields;
}
