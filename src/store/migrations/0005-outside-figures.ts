import type { CreateTableBuilder, Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/** What is set beside a series from outside: published figures (claims), and other series that are pooled with it. */
export async function outsideFigures(db: Kysely<unknown>, flavour: Flavour): Promise<void> {
  const { real } = flavour;
  const ofSeries = (name: string) =>
    db.schema
      .createTable(name)
      .addColumn("seq", "integer", flavour.counting)
      .addColumn("id", "text", (column) => column.notNull().unique())
      .addColumn("revision", "integer", (column) => column.notNull())
      .addColumn("created_at", "text", (column) => column.notNull())
      .addColumn("changed_at", "text", (column) => column.notNull())
      .addColumn("series_id", "text", (column) => column.notNull().references("series.id"));
  const create = async <T extends string>(builder: CreateTableBuilder<T, string>) => {
    await (flavour.tableEnd === undefined ? builder : builder.modifyEnd(flavour.tableEnd)).execute();
  };

  await create(
    ofSeries("claim")
      .addColumn("statement", "text", (column) => column.notNull())
      .addColumn("source", "text", (column) => column.notNull())
      .addColumn("kind", "text", (column) => column.notNull())
      .addColumn("basis", "text", (column) => column.notNull())
      .addColumn("share", real)
      .addColumn("value_n", real)
      .addColumn("legs", "integer")
      .addColumn("measured_line_n", real)
      .addColumn("levels", "text", (column) => column.notNull())
      .addColumn("margin", real, (column) => column.notNull())
      .addColumn("content", real, (column) => column.notNull())
      .addColumn("notes", "text", (column) => column.notNull()),
  );
  await db.schema
    .createIndex("claim_by_series_id_and_seq")
    .on("claim")
    .columns(["series_id", "seq"])
    .execute();

  await create(
    ofSeries("pooled_series")
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("other_series_id", "text", (column) => column.references("series.id"))
      .addColumn("other_levels", "text", (column) => column.notNull())
      .addColumn("source", "text", (column) => column.notNull())
      .addColumn("n", "integer")
      .addColumn("basis", "text", (column) => column.notNull())
      .addColumn("mean_share", real)
      .addColumn("sd_share", real)
      .addColumn("mean_n", real)
      .addColumn("sd_n", real)
      .addColumn("legs", "integer")
      .addColumn("rated_strength_n", real)
      .addColumn("rated_strength_basis", "text", (column) => column.notNull())
      .addColumn("rated_strength_ends", "text", (column) => column.notNull())
      .addColumn("measured_line_n", real)
      .addColumn("construction", "text", (column) => column.notNull())
      .addColumn("levels", "text", (column) => column.notNull())
      .addColumn("notes", "text", (column) => column.notNull()),
  );
  await db.schema
    .createIndex("pooled_series_by_series_id_and_seq")
    .on("pooled_series")
    .columns(["series_id", "seq"])
    .execute();
  await db.schema
    .createIndex("pooled_series_by_other_series_id")
    .on("pooled_series")
    .column("other_series_id")
    .execute();
}
