import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/**
 * What a deeper reading needs: the points of a cell's certificate and its class, what a person corrected of a reading,
 * what each reading was made with, and readings of stretches that a person named. The empty lists say of older rows what
 * is true of them: nothing was corrected, and no calibration was used.
 */
export async function deeperReading(db: Kysely<unknown>, { real }: Flavour): Promise<void> {
  const list = (table: string, name: string) =>
    db.schema
      .alterTable(table)
      .addColumn(name, "text", (column) => column.notNull().defaultTo("[]"))
      .execute();

  await list("load_cell", "calibration_points");
  await db.schema.alterTable("load_cell").addColumn("accuracy_class", real).execute();
  await list("pull", "overrides");
  await list("recording", "read_with");
  await list("recording", "stretches");
}
