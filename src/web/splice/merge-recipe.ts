import type { StoredRecord } from "../../app/mod.ts";
import { recipeNumberNames, recipeNumberWords } from "../../splice/mod.ts";
import { trimmed } from "../book/quantity.ts";
import type { Difference } from "../parts/changed-elsewhere.tsx";
import { recipeSpecs } from "./recipe-specs.ts";

type Recipe = StoredRecord<"recipe">;
/** A recipe's fields as its dialog reads them; null takes an optional one away. */
export type RecipeTyped = Readonly<Record<string, unknown>> & Pick<Recipe, "numbers" | "steps">;
type Fields = ReadonlyMap<string, unknown>;

/**
 * What was changed in a recipe since `base`, to be laid over `theirs`, which somebody else may have kept meanwhile. What
 * only one of the two changed stands; what both changed otherwise is listed for the hand to decide.
 *
 * @example
 * mergeRecipe(recipe, { ...recipe, crossings: 3 }, recipe).patch // { crossings: 3 }
 */
export function mergeRecipe(
  base: Recipe,
  mine: RecipeTyped,
  theirs: Recipe,
): {
  readonly patch: Readonly<Record<string, unknown>>;
  /** The fields that both changed, by their names. */
  readonly clashing: readonly string[];
  readonly differences: readonly Difference[];
} {
  const [before, wanted, now] = [fieldsOf(base), fieldsOf(mine), fieldsOf(theirs)];
  const changed = [...wanted.keys()].filter((name) => !same(wanted, before, name));
  const clashing = changed.filter((name) => !same(before, now, name) && !same(wanted, now, name));
  const numbers = { ...theirs.numbers };
  for (const name of recipeNumberNames) {
    if (!changed.includes(name)) continue;
    const number = mine.numbers[name];
    if (number === undefined) delete numbers[name];
    else numbers[name] = number;
  }
  const plain = changed.filter((name) => !isNumber(name)).map((name) => [name, wanted.get(name)]);
  return {
    patch: { ...Object.fromEntries(plain), ...(changed.some(isNumber) ? { numbers } : {}) },
    clashing,
    differences: clashing.flatMap((name) =>
      name === "steps"
        ? stepDifferences(mine.steps, theirs.steps)
        : [
            {
              label: labelOf(name),
              mine: shown(name, wanted.get(name)),
              theirs: shown(name, now.get(name)),
            },
          ],
    ),
  };
}

/** What a field of the dialog is called. */
export function labelOf(name: string): string {
  const spec = recipeSpecs.find((one) => one.name === name);
  return spec?.label ?? name.replace(/([A-Z])/g, " $1").replace(/^./, (first) => first.toUpperCase());
}

const isNumber = (name: string) => Object.hasOwn(recipeNumberWords, name);

/** All that the dialog asks for, each number of the recipe by itself. */
function fieldsOf(recipe: RecipeTyped): Fields {
  return new Map<string, unknown>([
    ...recipeSpecs.map(({ name }) => [name, recipe[name] ?? null] as const),
    ...recipeNumberNames.map((name) => [name, recipe.numbers[name] ?? null] as const),
    ["steps", recipe.steps],
  ]);
}

function same(one: Fields, other: Fields, name: string): boolean {
  return JSON.stringify(one.get(name)) === JSON.stringify(other.get(name));
}

function stepDifferences(mine: Recipe["steps"], theirs: Recipe["steps"]): Difference[] {
  const say = (step: Recipe["steps"][number] | undefined) =>
    step === undefined
      ? ""
      : step.figure === undefined
        ? step.text
        : `${step.text} (drawing: ${step.figure})`;
  return Array.from({ length: Math.max(mine.length, theirs.length) }, (_, at) => ({
    label: `Step ${at + 1}`,
    mine: say(mine[at]),
    theirs: say(theirs[at]),
  })).filter((one) => one.mine !== one.theirs);
}

/** A value as the dialog shows it: shares of a recipe's numbers are typed as per cent. */
function shown(name: string, value: unknown): string {
  if (value === null || value === undefined) return "";
  if (typeof value === "number") return trimmed(value);
  if (typeof value !== "object" || !("value" in value)) return String(value);
  const unit = recipeNumberWords[name as keyof typeof recipeNumberWords].unit;
  return unit === "share"
    ? `${trimmed(Number(value.value) * 100)} %`
    : `${trimmed(Number(value.value))} ${unit}`;
}
