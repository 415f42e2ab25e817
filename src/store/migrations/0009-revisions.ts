import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/**
 * What a published report froze beside its page: its content as canonical JSON with its hash, why it was published, what
 * changed since the revision before, and whether it was withdrawn. Of older reports only the page is known. And where a
 * series came from that was taken in from a bundle.
 */
export async function revisions(db: Kysely<unknown>, flavour: Flavour): Promise<void> {
  for (const name of ["content_sha256", "content", "withdrawn_at", "withdrawn_reason"])
    await db.schema.alterTable("report").addColumn(name, "text").execute();
  await db.schema
    .alterTable("report")
    .addColumn("note", "text", (column) => column.notNull().defaultTo(""))
    .execute();
  await db.schema
    .alterTable("report")
    .addColumn("changes", "text", (column) => column.notNull().defaultTo("[]"))
    .execute();

  const imported = db.schema
    .createTable("imported_bundle")
    .addColumn("seq", "integer", flavour.counting)
    .addColumn("id", "text", (column) => column.notNull().unique())
    .addColumn("series_id", "text", (column) => column.notNull().references("series.id"))
    .addColumn("content_sha256", "text", (column) => column.notNull())
    .addColumn("imported_at", "text", (column) => column.notNull())
    .addColumn("origin", "text", (column) => column.notNull())
    .addColumn("ids", "text", (column) => column.notNull());
  await (flavour.tableEnd === undefined ? imported : imported.modifyEnd(flavour.tableEnd)).execute();
  for (const column of ["series_id", "content_sha256"])
    await db.schema
      .createIndex(`imported_bundle_by_${column}`)
      .on("imported_bundle")
      .column(column)
      .execute();
}
