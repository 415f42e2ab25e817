import { z } from "zod";
import { rigFields } from "../rig/mod.ts";
import {
  benchFields,
  claimFields,
  hardwareFields,
  loadCellFields,
  pooledSeriesFields,
  pullFields,
  seriesFields,
  specimenFields,
} from "../series/mod.ts";
import { recipeFields, ropeFields, spoolFields } from "../splice/mod.ts";
import { layoutFields } from "./layout-fields.ts";

/** A layout that a user confirmed for one logger, kept to be used again. */
export const savedLayoutFields = z.object({
  name: z.string().trim().min(1).max(200),
  layout: layoutFields,
  notes: z.string().max(100_000).default(""),
});

/** Everything in the book that a person enters field by field, with the schema of its fields. */
export const recordKinds = {
  rope: ropeFields,
  spool: spoolFields,
  recipe: recipeFields,
  hardware: hardwareFields,
  "load-cell": loadCellFields,
  bench: benchFields,
  series: seriesFields,
  specimen: specimenFields,
  pull: pullFields,
  layout: savedLayoutFields,
  claim: claimFields,
  "pooled-series": pooledSeriesFields,
  rig: rigFields,
} as const;
export type RecordKind = keyof typeof recordKinds;
export const recordKindNames = Object.keys(recordKinds) as RecordKind[];

/** What a person enters for one kind of record. */
export type RecordFields<K extends RecordKind> = z.infer<(typeof recordKinds)[K]>;

/** What the book adds: an id, a revision that grows by one with each change, and times in ISO 8601, UTC. */
export type Kept = {
  readonly id: string;
  readonly revision: number;
  readonly createdAt: string;
  readonly changedAt: string;
};
export type StoredRecord<K extends RecordKind> = RecordFields<K> & Kept;

/** Which kind each reference field points to; the store keeps them as foreign keys. */
export const references: Readonly<Partial<Record<RecordKind, Readonly<Record<string, RecordKind>>>>> = {
  spool: { ropeId: "rope" },
  bench: { loadCellId: "load-cell", nearHardwareId: "hardware", farHardwareId: "hardware" },
  specimen: { seriesId: "series", ropeId: "rope", spoolId: "spool", recipeId: "recipe" },
  pull: { seriesId: "series", specimenId: "specimen", benchId: "bench" },
  claim: { seriesId: "series" },
  "pooled-series": { seriesId: "series", otherSeriesId: "series" },
};
