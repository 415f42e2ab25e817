import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/** The extremes of a long recording, kept beside it with the layout that they were read by. */
export async function outlines(db: Kysely<unknown>, flavour: Flavour): Promise<void> {
  const table = db.schema
    .createTable("recording_outline")
    .addColumn("recording_sha256", "text", (column) => column.primaryKey().references("recording.sha256"))
    .addColumn("layout", "text", (column) => column.notNull())
    .addColumn("bytes", flavour.bytes, (column) => column.notNull());
  await (flavour.tableEnd === undefined ? table : table.modifyEnd(flavour.tableEnd)).execute();
}
