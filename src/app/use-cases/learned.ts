import {
  buriesAsMade,
  customaryNumber,
  type GroupedObservation,
  type LearnedNumber,
  learnCrossing,
  learnedNames,
  learnNumber,
  type MadeSplice,
  observeCrossings,
  observeSplice,
  type RecipeFields,
  type RecipeNumberName,
} from "../../splice/mod.ts";
import type { LearnedForPair } from "../contract.ts";
import type { StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";

/** One rope and recipe of the book, with the specimens that were made and measured of it. */
type Pair = {
  readonly ropeId: string;
  readonly recipeId: string;
  readonly recipe: RecipeFields;
  readonly made: MadeSplice[];
};

/**
 * Every number that the book's specimens say something of, for each rope and recipe that was made or is to be made. What a
 * crossing takes up is told first, over all recipes of one kind; where it can be, contractions are observed with it.
 */
export async function learnedIn(book: Pick<StoreWork, "list" | "recipeVersions">): Promise<LearnedForPair[]> {
  const pairs = await pairsIn(book);
  const crossings = new Map<string, LearnedNumber | undefined>();
  for (const pair of pairs.values()) {
    const kind = kindOf(pair);
    if (crossings.has(kind)) continue;
    const alike = [...pairs.values()].filter((one) => kindOf(one) === kind);
    const observations = alike.flatMap(({ made }) => made.flatMap((one) => observeCrossings(one) ?? []));
    crossings.set(kind, learnCrossing(kind, observations, customOf(pair, "crossing")));
  }
  const observations = new Map<string, GroupedObservation[]>();
  for (const [group, pair] of pairs) {
    const crossing = crossings.get(kindOf(pair));
    const learned =
      crossing?.used === true ? { crossing: { value: crossing.estimate, spread: 0, source: "" } } : {};
    for (const made of pair.made) {
      const said = observeSplice({ ...made, job: { ...made.job, learned } });
      if (!said.ok) continue;
      for (const { name, value } of said.value)
        observations.set(name, [...(observations.get(name) ?? []), { group, value }]);
    }
  }
  return [...pairs].flatMap(([group, pair]) => {
    const numbers = learnedNames.map((name) =>
      learnNumber(name, group, observations.get(name) ?? [], customOf(pair, name)),
    );
    if (pair.recipe.crossings > 0) numbers.push(crossings.get(kindOf(pair)));
    const { ropeId, recipeId } = pair;
    return numbers.flatMap((number) => (number === undefined ? [] : [{ ...number, ropeId, recipeId }]));
  });
}

/** The rope of a specimen: its own, or that of its spool. */
export function ropeIdOf(
  { ropeId, spoolId }: Pick<StoredRecord<"specimen">, "ropeId" | "spoolId">,
  spools: readonly StoredRecord<"spool">[],
): string | undefined {
  return ropeId ?? spools.find(({ id }) => id === spoolId)?.ropeId;
}

function kindOf({ ropeId, recipe }: Pair): string {
  return JSON.stringify([ropeId, recipe.kind]);
}

function customOf({ recipe }: Pair, name: RecipeNumberName) {
  return recipe.numbers[name] ?? customaryNumber(name, recipe.kind);
}

async function pairsIn(book: Pick<StoreWork, "list" | "recipeVersions">): Promise<Map<string, Pair>> {
  const [specimens, ropes, spools, versions] = [
    await book.list("specimen"),
    await book.list("rope"),
    await book.list("spool"),
    await book.recipeVersions(),
  ];
  const pairs = new Map<string, Pair>();
  for (const specimen of specimens) {
    const { recipeId, recipeRevision, cutLengthMm, wanted } = specimen;
    const rope = ropes.find(({ id }) => id === ropeIdOf(specimen, spools));
    const recipe = versions.find(
      (one) => one.recipeId === recipeId && one.revision === recipeRevision,
    )?.fields;
    if (rope === undefined || recipe === undefined || recipeId === undefined) continue;
    const group = JSON.stringify([rope.id, recipeId]);
    const made = pairs.get(group)?.made ?? [];
    pairs.set(group, { ropeId: rope.id, recipeId, recipe, made });
    // Without `wanted` nobody said how the length was measured; it teaches nothing.
    if (cutLengthMm === undefined || wanted === undefined) continue;
    const { finishedLengthMm, finishedAtTensionMm, finishedTensionN } = specimen;
    const buries = buriesAsMade(specimen, recipe, rope.nominalDiameterMm);
    made.push({
      job: { rope, recipe, state: wanted, buries },
      cutLengthMm,
      finishedLengthMm,
      finishedAtTensionMm,
      finishedTensionN,
    });
  }
  return pairs;
}
