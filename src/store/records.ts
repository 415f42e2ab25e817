import { type Compilable, type CompiledQuery, type Kysely, sql } from "kysely";
import {
  type Kept,
  type RecordFields,
  type RecordFilter,
  type RecordKind,
  references,
  type StoreAnswer,
  type StoredRecord,
  type StoreRefusal,
} from "../app/mod.ts";
import { removeImports } from "./imported-bundles.ts";
import { usersOf } from "./in-use.ts";
import { keepVersion, removeVersions } from "./recipe-versions.ts";
import { type RecordRow, toColumns, toRecord } from "./rows.ts";
import { type Database, type RecordTableName, recordShapes } from "./tables.ts";

/**
 * Records of every kind, by the one map of fields to columns. Refusals are found by looking before writing, inside the
 * caller's transaction: a failed statement would end the transaction on PostgreSQL. The constraints stand behind them.
 */
export async function insertRecord<K extends RecordKind>(
  db: Kysely<Database>,
  kind: K,
  kept: Kept,
  fields: RecordFields<K>,
): Promise<StoreAnswer<StoredRecord<K>>> {
  const refusal = (await danglingReference(db, kind, fields)) ?? (await taken(db, kind, kept.id, fields));
  if (refusal !== undefined) return { ok: false, refusal };
  await db
    .insertInto(tableOf(kind))
    .values({ ...keptColumns(kept), ...toColumns(kind, fields) })
    .execute();
  const stored: StoredRecord<K> = { ...fields, ...kept };
  if (isRecipe(kind, stored)) await keepVersion(db, stored);
  return { ok: true, value: stored };
}

export async function updateRecord<K extends RecordKind>(
  db: Kysely<Database>,
  kind: K,
  id: string,
  revision: number,
  changedAt: string,
  fields: RecordFields<K>,
): Promise<StoreAnswer<StoredRecord<K>>> {
  const stored = await getRecord(db, kind, id);
  if (stored === undefined) return { ok: false, refusal: { kind: "missing", what: kind, id } };
  if (stored.revision !== revision) return changedMeanwhile(id, stored.revision);
  const refusal = (await danglingReference(db, kind, fields)) ?? (await taken(db, kind, id, fields));
  if (refusal !== undefined) return { ok: false, refusal };
  const { numUpdatedRows } = await db
    .updateTable(tableOf(kind))
    .set({ ...toColumns(kind, fields), revision: revision + 1, changedAt })
    .where("id", "=", id)
    .where("revision", "=", revision)
    .executeTakeFirstOrThrow();
  // Where two transactions may run side by side, another may have come between the look and the change.
  if (numUpdatedRows !== 1n) return changedMeanwhile(id, revision + 1);
  const changed: StoredRecord<K> = {
    ...fields,
    id,
    revision: revision + 1,
    createdAt: stored.createdAt,
    changedAt,
  };
  if (isRecipe(kind, changed)) await keepVersion(db, changed);
  return { ok: true, value: changed };
}

export async function removeRecord(
  db: Kysely<Database>,
  kind: RecordKind,
  id: string,
): Promise<StoreAnswer<null>> {
  const users = await usersOf(db, kind, id);
  if (users !== undefined) return { ok: false, refusal: { kind: "in-use", id, by: users } };
  if (kind === "recipe") await removeVersions(db, id);
  if (kind === "series") await removeImports(db, id);
  const { numDeletedRows } = await db
    .deleteFrom(tableOf(kind))
    .where("id", "=", id)
    .executeTakeFirstOrThrow();
  if (numDeletedRows === 0n) return { ok: false, refusal: { kind: "missing", what: kind, id } };
  return { ok: true, value: null };
}

export async function getRecord<K extends RecordKind>(
  db: Kysely<Database>,
  kind: K,
  id: string,
): Promise<StoredRecord<K> | undefined> {
  const query = db.selectFrom(tableOf(kind)).selectAll().where("id", "=", id);
  return (await recordsOf(db, kind, query))[0];
}

/** The records of one kind in the order in which they came. A filter narrows the kinds that have its field. */
export async function listRecords<K extends RecordKind>(
  db: Kysely<Database>,
  kind: K,
  filter: RecordFilter = {},
): Promise<readonly StoredRecord<K>[]> {
  let query = db.selectFrom(tableOf(kind)).selectAll();
  for (const [field, value] of Object.entries(filter))
    if (value !== undefined && field in recordShapes[kind].columns) query = query.where(field, "=", value);
  return recordsOf(db, kind, query.orderBy("seq"));
}

/** The rows of a query as records. They come by the names of their columns: to rename them first would double the work. */
async function recordsOf<K extends RecordKind>(
  db: Kysely<Database>,
  kind: K,
  query: Compilable,
): Promise<StoredRecord<K>[]> {
  const { rows } = await db
    .withoutPlugins()
    .executeQuery<RecordRow>(query.compile() as CompiledQuery<RecordRow>);
  return rows.map((row) => toRecord(kind, row));
}

/** Where a reference of these fields leads to nothing. */
async function danglingReference<K extends RecordKind>(
  db: Kysely<Database>,
  kind: K,
  fields: RecordFields<K>,
): Promise<StoreRefusal | undefined> {
  for (const [field, target] of referencesOf(kind)) {
    const id = textIn(fields, field);
    if (id === undefined) continue;
    const found = await db.selectFrom(tableOf(target)).select("id").where("id", "=", id).executeTakeFirst();
    if (found === undefined) return { kind: "missing", what: target, id, field };
  }
  const sha256 = kind === "pull" ? textIn(fields, "recordingSha256") : undefined;
  if (sha256 === undefined) return undefined;
  const found = await db
    .selectFrom("recording")
    .select("sha256")
    .where("sha256", "=", sha256)
    .executeTakeFirst();
  return found === undefined
    ? { kind: "missing", what: "recording", id: sha256, field: "recordingSha256" }
    : undefined;
}

/** What may stand only once: a label in its series, a layout's name, one pull of a recording. */
const onlyOnce: Readonly<Partial<Record<RecordKind, readonly string[]>>> = {
  specimen: ["seriesId", "label"],
  layout: ["name"],
  pull: ["recordingSha256", "recordingPull"],
};

async function taken<K extends RecordKind>(
  db: Kysely<Database>,
  kind: K,
  id: string,
  fields: RecordFields<K>,
): Promise<StoreRefusal | undefined> {
  const key = onlyOnce[kind];
  if (key === undefined) return undefined;
  let query = db.selectFrom(tableOf(kind)).select("id").where("id", "<>", id);
  for (const field of key) {
    const value = (fields as Record<string, unknown>)[field];
    if (value === undefined) return undefined;
    query = query.where(sql.ref(field), "=", value);
  }
  if ((await query.executeTakeFirst()) === undefined) return undefined;
  const field = key.at(-1) ?? "id";
  return { kind: "taken", field, value: String((fields as Record<string, unknown>)[field]) };
}

function isRecipe(kind: RecordKind, _stored: object): _stored is StoredRecord<"recipe"> {
  return kind === "recipe";
}

function referencesOf(kind: RecordKind): [string, RecordKind][] {
  return Object.entries(references[kind] ?? {});
}

function tableOf(kind: RecordKind): RecordTableName {
  return recordShapes[kind].table;
}

function keptColumns({ id, revision, createdAt, changedAt }: Kept) {
  return { id, revision, createdAt, changedAt };
}

function changedMeanwhile(id: string, revision: number): { ok: false; refusal: StoreRefusal } {
  return { ok: false, refusal: { kind: "changed-meanwhile", id, revision } };
}

function textIn(fields: object, field: string): string | undefined {
  const value = (fields as Record<string, unknown>)[field];
  return typeof value === "string" ? value : undefined;
}
