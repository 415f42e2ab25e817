import type { Kysely } from "kysely";
import { type RecipeVersion, recordKinds, type StoredRecord } from "../app/mod.ts";
import type { Database } from "./tables.ts";

/** Keeps what a recipe says at its present revision; called with each recipe that is stored or changed. */
export async function keepVersion(db: Kysely<Database>, recipe: StoredRecord<"recipe">): Promise<void> {
  const { id, revision, createdAt: _, changedAt, ...fields } = recipe;
  await db
    .insertInto("recipeVersion")
    .values({ recipeId: id, revision, changedAt, fields: JSON.stringify(fields) })
    .execute();
}

/** Takes the versions out together with their recipe. */
export async function removeVersions(db: Kysely<Database>, recipeId: string): Promise<void> {
  await db.deleteFrom("recipeVersion").where("recipeId", "=", recipeId).execute();
}

/** What a recipe said at each of its revisions, the oldest first; without an id, the versions of all recipes. */
export async function recipeVersions(
  db: Kysely<Database>,
  recipeId?: string,
): Promise<readonly RecipeVersion[]> {
  let query = db.selectFrom("recipeVersion").selectAll();
  if (recipeId !== undefined) query = query.where("recipeId", "=", recipeId);
  const rows = await query.orderBy("recipeId").orderBy("revision").execute();
  // The schema completes what an older program did not write.
  return rows.map(({ fields, ...version }) => ({
    ...version,
    fields: recordKinds.recipe.parse(JSON.parse(fields)),
  }));
}
