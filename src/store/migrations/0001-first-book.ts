import { type CreateTableBuilder, type Kysely, sql } from "kysely";
import type { Flavour } from "../flavour.ts";

/** The first book: everything of a series, from the rope to the published report. */
export async function firstBook(db: Kysely<unknown>, flavour: Flavour): Promise<void> {
  const { real, bigInteger, bytes } = flavour;

  const table = (name: string) => db.schema.createTable(name).addColumn("seq", "integer", flavour.counting);
  const record = (name: string) =>
    table(name)
      .addColumn("id", "text", (column) => column.notNull().unique())
      .addColumn("revision", "integer", (column) => column.notNull())
      .addColumn("created_at", "text", (column) => column.notNull())
      .addColumn("changed_at", "text", (column) => column.notNull());
  const create = async <T extends string>(builder: CreateTableBuilder<T, string>) => {
    await (flavour.tableEnd === undefined ? builder : builder.modifyEnd(flavour.tableEnd)).execute();
  };
  const index = async (on: string, columns: readonly string[], options: { unique?: boolean } = {}) => {
    const builder = db.schema.createIndex(`${on}_by_${columns.join("_and_")}`).on(on);
    await (options.unique === true ? builder.unique() : builder).columns([...columns]).execute();
  };

  await create(
    record("rope")
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("construction", "text", (column) => column.notNull())
      .addColumn("fibre", "text", (column) => column.notNull())
      .addColumn("nominal_diameter_mm", real, (column) => column.notNull())
      .addColumn("mass_per_length_g_per_m", real)
      .addColumn("rated_strength_n", real)
      .addColumn("rated_strength_basis", "text", (column) => column.notNull())
      .addColumn("rated_strength_ends", "text", (column) => column.notNull())
      .addColumn("rated_strength_source", "text", (column) => column.notNull())
      .addColumn("coating", "text", (column) => column.notNull())
      .addColumn("notes", "text", (column) => column.notNull()),
  );

  await create(
    record("spool")
      .addColumn("rope_id", "text", (column) => column.notNull().references("rope.id"))
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("batch", "text", (column) => column.notNull())
      .addColumn("length_m", real)
      .addColumn("bought_on", "text")
      .addColumn("notes", "text", (column) => column.notNull()),
  );
  await index("spool", ["rope_id"]);

  await create(
    record("recipe")
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("kind", "text", (column) => column.notNull())
      .addColumn("bury_full_diameters", real)
      .addColumn("bury_taper_diameters", real)
      .addColumn("lock_stitch", "text", (column) => column.notNull())
      .addColumn("legs", "integer", (column) => column.notNull())
      .addColumn("wraps", "integer", (column) => column.notNull())
      .addColumn("notes", "text", (column) => column.notNull()),
  );

  await create(
    record("hardware")
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("form", "text", (column) => column.notNull())
      .addColumn("diameter_mm", real)
      .addColumn("own_strength_n", real)
      .addColumn("notes", "text", (column) => column.notNull()),
  );

  await create(
    record("load_cell")
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("capacity_n", real)
      .addColumn("resolution_n", real)
      .addColumn("calibrated_on", "text")
      .addColumn("calibration_note", "text", (column) => column.notNull())
      .addColumn("notes", "text", (column) => column.notNull()),
  );

  await create(
    record("bench")
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("load_cell_id", "text", (column) => column.references("load_cell.id"))
      .addColumn("drive", "text", (column) => column.notNull())
      .addColumn("cell_placement", "text", (column) => column.notNull())
      .addColumn("mechanical_advantage", real, (column) => column.notNull())
      .addColumn("near_hardware_id", "text", (column) => column.references("hardware.id"))
      .addColumn("far_hardware_id", "text", (column) => column.references("hardware.id"))
      .addColumn("notes", "text", (column) => column.notNull()),
  );
  await index("bench", ["load_cell_id"]);
  await index("bench", ["near_hardware_id"]);
  await index("bench", ["far_hardware_id"]);

  await create(
    record("series")
      .addColumn("title", "text", (column) => column.notNull())
      .addColumn("question", "text", (column) => column.notNull())
      .addColumn("method", "text", (column) => column.notNull())
      .addColumn("conclusions", "text", (column) => column.notNull())
      .addColumn("tester", "text", (column) => column.notNull())
      .addColumn("factors", "text", (column) => column.notNull())
      .addColumn("pulls_per_cell", "integer", (column) => column.notNull())
      .addColumn("simulated", "integer", (column) => column.notNull().check(sql`simulated in (0, 1)`))
      .addColumn("notes", "text", (column) => column.notNull()),
  );

  await create(
    record("specimen")
      .addColumn("series_id", "text", (column) => column.notNull().references("series.id"))
      .addColumn("label", "text", (column) => column.notNull())
      .addColumn("rope_id", "text", (column) => column.references("rope.id"))
      .addColumn("spool_id", "text", (column) => column.references("spool.id"))
      .addColumn("recipe_id", "text", (column) => column.references("recipe.id"))
      .addColumn("maker", "text", (column) => column.notNull())
      .addColumn("made_on", "text")
      .addColumn("levels", "text", (column) => column.notNull())
      .addColumn("cut_length_mm", real)
      .addColumn("finished_length_mm", real)
      .addColumn("bury_full_mm", real)
      .addColumn("bury_taper_mm", real)
      .addColumn("notes", "text", (column) => column.notNull()),
  );
  await index("specimen", ["series_id", "label"], { unique: true });
  await index("specimen", ["series_id", "seq"]);
  await index("specimen", ["rope_id"]);
  await index("specimen", ["spool_id"]);
  await index("specimen", ["recipe_id"]);

  await create(
    record("layout")
      .addColumn("name", "text", (column) => column.notNull())
      .addColumn("layout", "text", (column) => column.notNull())
      .addColumn("notes", "text", (column) => column.notNull()),
  );
  await index("layout", ["name"], { unique: true });

  await create(
    table("recording")
      .addColumn("sha256", "text", (column) => column.notNull().unique())
      .addColumn("series_id", "text", (column) => column.notNull().references("series.id"))
      .addColumn("file_name", "text", (column) => column.notNull())
      .addColumn("size_bytes", bigInteger, (column) => column.notNull())
      .addColumn("imported_at", "text", (column) => column.notNull())
      .addColumn("layout", "text", (column) => column.notNull())
      .addColumn("reading", "text", (column) => column.notNull()),
  );
  await index("recording", ["series_id", "seq"]);

  // The bytes lie apart and in pieces, so that a list of recordings never loads them and no row grows past a few MiB.
  await create(
    db.schema
      .createTable("recording_chunk")
      .addColumn("recording_sha256", "text", (column) => column.notNull().references("recording.sha256"))
      .addColumn("number", "integer", (column) => column.notNull())
      .addColumn("bytes", bytes, (column) => column.notNull())
      .addPrimaryKeyConstraint("recording_chunk_key", ["recording_sha256", "number"]),
  );

  await create(
    record("pull")
      .addColumn("series_id", "text", (column) => column.notNull().references("series.id"))
      .addColumn("specimen_id", "text", (column) => column.references("specimen.id"))
      .addColumn("bench_id", "text", (column) => column.references("bench.id"))
      .addColumn("recording_sha256", "text", (column) => column.references("recording.sha256"))
      .addColumn("recording_pull", "integer")
      .addColumn("typed_peak_n", real)
      .addColumn("outcome_kind", "text", (column) =>
        column.check(sql`outcome_kind in ('broke', 'slipped', 'stopped', 'void')`),
      )
      .addColumn("outcome_place", "text")
      .addColumn("outcome_reason", "text")
      .addColumn("pulled_at", "text")
      .addColumn("order", "integer")
      .addColumn("operator", "text", (column) => column.notNull())
      .addColumn("notes", "text", (column) => column.notNull()),
  );
  await index("pull", ["series_id", "seq"]);
  await index("pull", ["specimen_id"]);
  await index("pull", ["bench_id"]);
  await index("pull", ["recording_sha256", "recording_pull"], { unique: true });

  await create(
    table("picture")
      .addColumn("id", "text", (column) => column.notNull().unique())
      .addColumn("series_id", "text", (column) => column.references("series.id"))
      .addColumn("specimen_id", "text", (column) => column.references("specimen.id"))
      .addColumn("pull_id", "text", (column) => column.references("pull.id"))
      .addColumn("file_name", "text", (column) => column.notNull())
      .addColumn("media_type", "text", (column) => column.notNull())
      .addColumn("sha256", "text", (column) => column.notNull())
      .addColumn("size_bytes", bigInteger, (column) => column.notNull())
      .addColumn("caption", "text", (column) => column.notNull())
      .addColumn("added_at", "text", (column) => column.notNull())
      .addCheckConstraint(
        "picture_of_one_thing",
        sql`(series_id is not null and specimen_id is null and pull_id is null)
         or (series_id is null and specimen_id is not null and pull_id is null)
         or (series_id is null and specimen_id is null and pull_id is not null)`,
      ),
  );
  await index("picture", ["series_id"]);
  await index("picture", ["specimen_id"]);
  await index("picture", ["pull_id"]);

  await create(
    db.schema
      .createTable("picture_bytes")
      .addColumn("picture_id", "text", (column) => column.notNull().primaryKey().references("picture.id"))
      .addColumn("bytes", bytes, (column) => column.notNull()),
  );

  await create(
    table("report")
      .addColumn("id", "text", (column) => column.notNull().unique())
      .addColumn("series_id", "text", (column) => column.notNull().references("series.id"))
      .addColumn("number", "integer", (column) => column.notNull())
      .addColumn("published_at", "text", (column) => column.notNull())
      .addColumn("title", "text", (column) => column.notNull())
      .addColumn("sha256", "text", (column) => column.notNull())
      .addColumn("html", "text", (column) => column.notNull()),
  );
  await index("report", ["series_id", "number"], { unique: true });

  await create(
    db.schema
      .createTable("fact")
      .addColumn("name", "text", (column) => column.notNull().primaryKey())
      .addColumn("value", "text", (column) => column.notNull()),
  );
}
