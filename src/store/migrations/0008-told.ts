import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/** What a report must say beside its figures: sources, where, for whom, under what conditions; older series say none. */
export async function told(db: Kysely<unknown>, _flavour: Flavour): Promise<void> {
  for (const name of [
    "sources",
    "deviations",
    "conditions",
    "contact",
    "tested_at",
    "customer",
    "authorised_by",
  ])
    await db.schema
      .alterTable("series")
      .addColumn(name, "text", (column) => column.notNull().defaultTo(""))
      .execute();
}
