import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/** Rigs: where connectors are used. Load and parts are nested, and so JSON. */
export async function rigs(db: Kysely<unknown>, flavour: Flavour): Promise<void> {
  const table = db.schema
    .createTable("rig")
    .addColumn("seq", "integer", flavour.counting)
    .addColumn("id", "text", (column) => column.notNull().unique())
    .addColumn("revision", "integer", (column) => column.notNull())
    .addColumn("created_at", "text", (column) => column.notNull())
    .addColumn("changed_at", "text", (column) => column.notNull())
    .addColumn("name", "text", (column) => column.notNull())
    .addColumn("load", "text", (column) => column.notNull())
    .addColumn("parts", "text", (column) => column.notNull())
    .addColumn("wanted_factor", flavour.real)
    .addColumn("wanted_factor_source", "text", (column) => column.notNull())
    .addColumn("over_time", "text", (column) => column.notNull())
    .addColumn("notes", "text", (column) => column.notNull());
  await (flavour.tableEnd === undefined ? table : table.modifyEnd(flavour.tableEnd)).execute();
}
