import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/**
 * The bound by which a series states a strength: its method, for what share of the specimens, and how surely. The defaults
 * are what findings and reports gave of every series before.
 */
export async function statedBound(db: Kysely<unknown>, { real }: Flavour): Promise<void> {
  const given = (name: string, type: "text" | Flavour["real"], value: string | number) =>
    db.schema
      .alterTable("series")
      .addColumn(name, type, (column) => column.notNull().defaultTo(value))
      .execute();

  await given("bound_method", "text", "normal");
  await given("bound_content", real, 0.95);
  await given("bound_confidence", real, 0.95);
}
