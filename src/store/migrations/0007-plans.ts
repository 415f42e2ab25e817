import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/** The plans that a series had before, and a specimen's place in the drawn order of pulling; older rows have neither. */
export async function plans(db: Kysely<unknown>, _flavour: Flavour): Promise<void> {
  await db.schema.alterTable("series").addColumn("plan_history", "text").execute();
  await db.schema.alterTable("specimen").addColumn("planned_order", "integer").execute();
}
