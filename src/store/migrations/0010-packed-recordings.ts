import type { Kysely } from "kysely";
import type { Flavour } from "../flavour.ts";

/** Recordings lie packed, without loss: how, and how many bytes they are. Those of older books lie as they came. */
export async function packedRecordings(db: Kysely<unknown>, _flavour: Flavour): Promise<void> {
  await db.schema.alterTable("recording_chunk").addColumn("packing", "text").execute();
  await db.schema.alterTable("recording_chunk").addColumn("size_bytes", "integer").execute();
}
