import { type Kysely, sql } from "kysely";
import type { Flavour } from "../flavour.ts";

/**
 * What splicing needs: recipes with all their numbers and steps, their versions, what a rope's pick and stiffness were
 * measured as, what a specimen is to become, and everything that was measured of it as it was made.
 *
 * The defaults say of older rows what was true of them. Of an older recipe only the present version is known: it becomes
 * the first that is kept, and the specimens that name the recipe point to it.
 */
export async function splice(db: Kysely<unknown>, { real, tableEnd }: Flavour): Promise<void> {
  const number = (table: string, name: string, type: "integer" | Flavour["real"] = real) =>
    db.schema.alterTable(table).addColumn(name, type).execute();
  const given = (
    table: string,
    name: string,
    type: "text" | "integer" | Flavour["real"],
    value: string | number,
  ) =>
    db.schema
      .alterTable(table)
      .addColumn(name, type, (column) => column.notNull().defaultTo(value))
      .execute();

  for (const name of ["pick_length_mm", "stiffness_n", "stiffness_spread_n"]) await number("rope", name);

  await given("spool", "other_use_m", real, 0);
  await number("spool", "price_per_m");
  await given("spool", "currency", "text", "");

  await db.schema.alterTable("recipe").addColumn("variant", "text").execute();
  await given("recipe", "bury_source", "text", "");
  await given("recipe", "taper_strands_left", "integer", 2);
  await given("recipe", "crossings", "integer", 0);
  await given("recipe", "strands_each_side", "integer", 6);
  for (const name of ["stitch_diameters", "set_share", "set_hold_s"]) await number("recipe", name);
  await given("recipe", "numbers", "text", "{}");
  await given("recipe", "steps", "text", "[]");
  await given("recipe", "based_on", "text", "");

  await number("specimen", "recipe_revision", "integer");
  await db.schema.alterTable("specimen").addColumn("wanted", "text").execute();
  for (const name of [
    "finished_at_tension_mm",
    "finished_tension_n",
    "second_bury_full_mm",
    "second_bury_taper_mm",
    "making_minutes",
  ])
    await number("specimen", name);
  await given("specimen", "picks_per_step", "text", "[]");
  await given("specimen", "second_picks_per_step", "text", "[]");
  await given("specimen", "redo", "text", "");

  const versions = db.schema
    .createTable("recipe_version")
    .addColumn("recipe_id", "text", (column) => column.notNull().references("recipe.id"))
    .addColumn("revision", "integer", (column) => column.notNull())
    .addColumn("changed_at", "text", (column) => column.notNull())
    .addColumn("fields", "text", (column) => column.notNull())
    .addPrimaryKeyConstraint("recipe_version_key", ["recipe_id", "revision"]);
  await (tableEnd === undefined ? versions : versions.modifyEnd(tableEnd)).execute();

  await keepPresentVersions(db);
  await sql`update specimen set recipe_revision = (select revision from recipe where recipe.id = specimen.recipe_id)
    where recipe_id is not null`.execute(db);
}

/** A recipe as the first book kept it; what came with this step is at its default, and so left out. */
type OldRecipe = {
  readonly id: string;
  readonly revision: number;
  readonly changed_at: string;
  readonly name: string;
  readonly kind: string;
  readonly bury_full_diameters: number | null;
  readonly bury_taper_diameters: number | null;
  readonly lock_stitch: string;
  readonly legs: number;
  readonly wraps: number;
  readonly notes: string;
};

async function keepPresentVersions(db: Kysely<unknown>): Promise<void> {
  const { rows } = await sql<OldRecipe>`select * from recipe order by seq`.execute(db);
  for (const row of rows) {
    const fields = JSON.stringify({
      name: row.name,
      kind: row.kind,
      ...(row.bury_full_diameters === null ? {} : { buryFullDiameters: row.bury_full_diameters }),
      ...(row.bury_taper_diameters === null ? {} : { buryTaperDiameters: row.bury_taper_diameters }),
      lockStitch: row.lock_stitch,
      legs: row.legs,
      wraps: row.wraps,
      notes: row.notes,
    });
    await sql`insert into recipe_version (recipe_id, revision, changed_at, fields)
      values (${row.id}, ${row.revision}, ${row.changed_at}, ${fields})`.execute(db);
  }
}
