import type { Kysely } from "kysely";
import type { ImportedBundle } from "../app/mod.ts";
import type { Database } from "./tables.ts";

/** Keeps where a series came from. */
export async function insertImport(db: Kysely<Database>, imported: ImportedBundle): Promise<void> {
  const { id, seriesId, contentSha256, importedAt, origin, ids } = imported;
  await db
    .insertInto("importedBundle")
    .values({
      id,
      seriesId,
      contentSha256,
      importedAt,
      origin: JSON.stringify(origin),
      ids: JSON.stringify(ids),
    })
    .execute();
}

export async function listImports(
  db: Kysely<Database>,
  filter: { readonly seriesId?: string; readonly contentSha256?: string } = {},
): Promise<readonly ImportedBundle[]> {
  let query = db.selectFrom("importedBundle").selectAll();
  if (filter.seriesId !== undefined) query = query.where("seriesId", "=", filter.seriesId);
  if (filter.contentSha256 !== undefined) query = query.where("contentSha256", "=", filter.contentSha256);
  return (await query.orderBy("seq").execute()).map(({ seq: _, origin, ids, ...imported }) => ({
    ...imported,
    origin: JSON.parse(origin),
    ids: JSON.parse(ids),
  }));
}

/** Takes the provenance out together with its series. */
export async function removeImports(db: Kysely<Database>, seriesId: string): Promise<void> {
  await db.deleteFrom("importedBundle").where("seriesId", "=", seriesId).execute();
}
