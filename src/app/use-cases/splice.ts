import { z } from "zod";
import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { renderCutSheet } from "../../report/mod.ts";
import {
  asRecipeNumber,
  type ComparedRecipe,
  type CutSheet,
  cannotNest,
  compareRecipes,
  crossingsWithin,
  exactLimit,
  type Nesting,
  nestByBestFit,
  nestingProgram,
  notProven,
  planCutSheet,
  restOfSpool,
  type SheetSpecimen,
} from "../../splice/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, LearnedForPair, NestedRope, SpoolAndRest } from "../contract.ts";
import type { StoredRecord } from "../records.ts";
import type { RecipeVersion, StoreWork } from "../store.ts";
import { findingsOf } from "./judge.ts";
import { learnedIn, ropeIdOf } from "./learned.ts";
import { holdingsOf } from "./overview.ts";
import { notFound, orTrouble } from "./transact.ts";

type Reading = Pick<StoreWork, "get" | "list" | "recipeVersions">;

/** What a recipe said at each of its revisions, the oldest first. */
export async function recipeVersions(
  { store }: Effects,
  id: string,
): Promise<Result<readonly RecipeVersion[]>> {
  return orTrouble(async () => {
    const recipe = await store.read.get("recipe", id);
    return recipe === undefined ? refuse(notFound("recipe", id)) : ok(await store.read.recipeVersions(id));
  });
}

/** What the book's specimens say of each rope's and recipe's numbers. */
export async function learned({ store }: Effects): Promise<Result<readonly LearnedForPair[]>> {
  return orTrouble(async () => ok(await learnedIn(store.read)));
}

/** The cut sheet of the specimens of a series that were not cut yet, or of all. */
export async function cutSheet(
  { store }: Effects,
  seriesId: string,
  input: unknown = {},
): Promise<Result<CutSheet>> {
  const options = checkInput(cutSheetFields, input);
  if (!options.ok) return options;
  return orTrouble(async () => {
    const series = await store.read.get("series", seriesId);
    if (series === undefined) return refuse(notFound("series", seriesId));
    const specimens = await store.read.list("specimen", { seriesId });
    const wanted = options.value.all
      ? specimens
      : specimens.filter(({ cutLengthMm }) => cutLengthMm === undefined);
    return ok(planCutSheet(series.title, await sheetSpecimens(store.read, wanted, options.value.linkBase)));
  });
}

/** The same as one page to print. */
export async function cutSheetPage(
  effects: Effects,
  seriesId: string,
  input: unknown = {},
): Promise<Result<string>> {
  const options = checkInput(cutSheetFields, input);
  if (!options.ok) return options;
  const sheet = await cutSheet(effects, seriesId, input);
  return sheet.ok ? ok(renderCutSheet(sheet.value, { paper: options.value.paper }), sheet.warnings) : sheet;
}

/** What a cut sheet is asked for with. */
export const cutSheetFields = z.object({
  paper: z.enum(["a4", "letter"]).default("a4"),
  /** Whether specimens that were cut already stand on it as well. */
  all: z.boolean().default(false),
  /** Where the book answers, for the QR marks on labels: "http://192.168.1.5:7320". */
  linkBase: z
    .url({ protocol: /^https?$/ })
    .max(300)
    .optional(),
});

/** What is left of each spool. */
export async function spools({ store }: Effects): Promise<Result<readonly SpoolAndRest[]>> {
  return orTrouble(async () => ok(await spoolsIn(store.read)));
}

/** What nesting is asked for with; lengths in mm. */
export const nestFields = z.object({
  usableMm: z.number().min(0).max(1e7).default(1000),
  lossMm: z.number().min(0).max(1000).default(5),
  balanced: z.boolean().default(false),
});

/** The open cuts of a series on the spools of each rope. */
export async function nestCuts(
  effects: Effects,
  seriesId: string,
  input: unknown,
): Promise<Result<readonly NestedRope[]>> {
  const options = checkInput(nestFields, input);
  if (!options.ok) return options;
  const sheet = await cutSheet(effects, seriesId);
  if (!sheet.ok) return sheet;
  return orTrouble(async () => {
    const rests = await spoolsIn(effects.store.read);
    const warnings: Warning[] = [];
    const ropes = new Map<
      string,
      { name: string; cuts: { id: string; lengthMm: number; group: string }[] }
    >();
    for (const { marked, specimens } of sheet.value.batches)
      for (const { id, levels, rope } of specimens) {
        if (rope === undefined) continue;
        const entry = ropes.get(rope.id) ?? { name: rope.name, cuts: [] };
        for (let piece = 0; piece < marked.cut.pieces; piece++)
          entry.cuts.push({ id, lengthMm: marked.cut.pieceMm, group: levels });
        ropes.set(rope.id, entry);
      }
    const nested: NestedRope[] = [];
    for (const [ropeId, { name, cuts }] of ropes) {
      const atHand = rests.flatMap(({ spool, rest }) =>
        spool.ropeId === ropeId && rest.leftM !== undefined && rest.leftM > 0
          ? [{ id: spool.id, leftMm: rest.leftM * 1000 }]
          : [],
      );
      const plan = await nestOn(effects, atHand, cuts, options.value);
      if (!plan.ok) return plan;
      warnings.push(...plan.warnings);
      nested.push({ ropeId, ropeName: name, nesting: plan.value });
    }
    return ok(nested, warnings);
  });
}

/** Recipes and ropes of a series side by side. */
export async function recipesCompared(
  { store }: Effects,
  seriesId: string,
): Promise<Result<readonly ComparedRecipe[]>> {
  return orTrouble(async () => {
    const held = await holdingsOf(store.read, seriesId);
    if (!held.ok) return held;
    const judged = findingsOf(held.value).pulls.filter(({ use }) => use !== "left out");
    const { ropes, recipes, spools: all } = held.value;
    return ok(
      compareRecipes(
        held.value.specimens.map((specimen) => {
          const pull = judged.find(({ specimenLabel }) => specimenLabel === specimen.label);
          const { recipeRevision, cutLengthMm, finishedLengthMm, makingMinutes } = specimen;
          return {
            ropeName: ropes.find(({ id }) => id === ropeIdOf(specimen, all))?.name ?? "",
            recipeName: recipes.find(({ id }) => id === specimen.recipeId)?.name ?? "",
            ...(recipeRevision === undefined ? {} : { recipeVersion: recipeRevision }),
            ...(cutLengthMm === undefined ? {} : { cutLengthMm }),
            ...(finishedLengthMm === undefined ? {} : { finishedLengthMm }),
            ...(makingMinutes === undefined ? {} : { makingMinutes }),
            ...(pull?.strengthN === undefined
              ? {}
              : { strengthN: pull.strengthN, strengthIsBound: pull.use === "lower bound" }),
          };
        }),
      ),
    );
  });
}

async function nestOn(
  effects: Effects,
  atHand: Parameters<typeof nestByBestFit>[0],
  cuts: Parameters<typeof nestByBestFit>[1],
  options: Parameters<typeof nestByBestFit>[2],
): Promise<Result<Nesting>> {
  const program = nestingProgram(atHand, cuts, options);
  if (!program.ok) return program;
  if (cuts.length <= exactLimit.cuts && atHand.length <= exactLimit.spools) {
    const answer = await effects.solveProgram(program.value.text);
    if (answer.status === "best") return ok(program.value.read(answer.values));
    if (answer.status === "impossible") return refuse(cannotNest(atHand, cuts, options));
  }
  const quick = nestByBestFit(atHand, cuts, options);
  return quick.ok ? ok(quick.value, quick.value.proven ? [] : [notProven(quick.value)]) : quick;
}

async function spoolsIn(book: Reading): Promise<SpoolAndRest[]> {
  const [all, ropes, specimens] = [
    await book.list("spool"),
    await book.list("rope"),
    await book.list("specimen"),
  ];
  return all.map((spool) => ({
    spool,
    rest: restOfSpool(
      spool,
      ropes.find(({ id }) => id === spool.ropeId),
      specimens.filter(({ spoolId }) => spoolId === spool.id).map(({ cutLengthMm }) => cutLengthMm),
    ),
  }));
}

async function sheetSpecimens(
  book: Reading,
  specimens: readonly StoredRecord<"specimen">[],
  linkBase: string | undefined,
): Promise<SheetSpecimen[]> {
  const [ropes, all, versions] = [
    await book.list("rope"),
    await book.list("spool"),
    await book.recipeVersions(),
  ];
  const known = await learnedIn(book);
  return specimens.map((specimen): SheetSpecimen => {
    const { id, label, seriesId, maker, recipeId, recipeRevision, wanted } = specimen;
    const spool = all.find((one) => one.id === specimen.spoolId);
    const ropeId = ropeIdOf(specimen, all);
    const rope = ropes.find((one) => one.id === ropeId);
    const version = versions.find((one) => one.recipeId === recipeId && one.revision === recipeRevision);
    const numbers = known.filter((one) => one.used && one.ropeId === ropeId && one.recipeId === recipeId);
    const crossed = (version?.fields.crossings ?? 0) > 0 && !numbers.some(({ name }) => name === "crossing");
    return {
      id,
      label,
      maker,
      levels: Object.entries(specimen.levels)
        .map(([name, level]) => `${name} ${level}`)
        .join(", "),
      ...(linkBase === undefined
        ? {}
        : { link: `${linkBase.replace(/\/$/, "")}/series/${seriesId}/splice/${id}` }),
      ...(spool === undefined ? {} : { spoolName: spool.name, currency: spool.currency }),
      ...(spool?.pricePerM === undefined ? {} : { pricePerM: spool.pricePerM }),
      ...(rope === undefined ? {} : { rope }),
      ...(version === undefined || recipeId === undefined
        ? {}
        : { recipe: { ...version.fields, id: recipeId, version: version.revision } }),
      ...(wanted === undefined ? {} : { wanted }),
      ...(numbers.length === 0
        ? {}
        : {
            learned: Object.fromEntries(
              numbers.map((one) => [
                one.name,
                asRecipeNumber(one, one.name === "contraction" && crossed ? crossingsWithin : undefined),
              ]),
            ),
          }),
    };
  });
}
