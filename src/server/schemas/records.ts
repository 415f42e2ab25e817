import { z } from "zod";
import { type RecordKind, recordKinds } from "../../app/mod.ts";
import { pullReadingSchema } from "./readings.ts";

/** What the book adds to each record. */
const kept = {
  id: z.string(),
  revision: z.int().meta({ description: "Grows by one with each change; give it back with a change." }),
  createdAt: z.string(),
  changedAt: z.string(),
};

/** Each kind of record as it goes out. */
export const recordSchemas = {
  rope: recordKinds.rope.extend(kept).meta({ id: "Rope" }),
  spool: recordKinds.spool.extend(kept).meta({ id: "Spool" }),
  recipe: recordKinds.recipe.extend(kept).meta({ id: "Recipe" }),
  hardware: recordKinds.hardware.extend(kept).meta({ id: "Hardware" }),
  "load-cell": recordKinds["load-cell"].extend(kept).meta({ id: "LoadCell" }),
  bench: recordKinds.bench.extend(kept).meta({ id: "Bench" }),
  series: recordKinds.series.extend(kept).meta({ id: "Series" }),
  specimen: recordKinds.specimen.extend(kept).meta({ id: "Specimen" }),
  pull: recordKinds.pull.extend(kept).meta({ id: "Pull" }),
  layout: recordKinds.layout.extend(kept).meta({ id: "SavedLayout" }),
  claim: recordKinds.claim.extend(kept).meta({ id: "Claim" }),
  "pooled-series": recordKinds["pooled-series"].extend(kept).meta({ id: "PooledSeries" }),
  rig: recordKinds.rig.extend(kept).meta({ id: "Rig" }),
} satisfies Record<RecordKind, z.ZodType>;

/** A pull with what the machine read for it. */
export const storedPullSchema = recordKinds.pull
  .extend({
    ...kept,
    reading: pullReadingSchema
      .exactOptional()
      .meta({ description: "What counts: as the machine read it, with a person's corrections in it." }),
    machineReading: pullReadingSchema
      .exactOptional()
      .meta({ description: "What the machine read, where a person corrected it." }),
  })
  .meta({ id: "PullWithReading" });

/** The fields of a kind with each one optional, and null where an optional one is to be taken away. */
export function patchSchemaOf(kind: RecordKind) {
  const shape: Record<string, z.ZodType> = recordKinds[kind].shape;
  const fields = Object.entries(shape).map(
    ([name, field]) => [name, field.nullable().exactOptional()] as const,
  );
  return z.object({ revision: z.int().min(1), patch: z.object(Object.fromEntries(fields)) });
}
