import type { Kysely, Selectable } from "kysely";
import type { ReadingOfRecording, RowsReader, StoreAnswer, StoredRecording } from "../app/mod.ts";
import type { Layout } from "../trace/mod.ts";
import { usersOf } from "./in-use.ts";
import { type Packed, packBytes, unpackBytes } from "./packing/pack.ts";
import { readRows } from "./packing/unpack-rows.ts";
import type { Database, RecordingTable } from "./tables.ts";

/** One chunk is a few MiB: small enough to hold beside others, large enough that 100 MB are a few dozen rows. */
const chunkBytes = 4 * 1024 * 1024;

export async function insertRecording(
  db: Kysely<Database>,
  recording: StoredRecording,
  bytes: readonly Uint8Array[],
): Promise<void> {
  const { sha256, seriesId, fileName, sizeBytes, importedAt } = recording;
  await db
    .insertInto("recording")
    .values({ sha256, seriesId, fileName, sizeBytes, importedAt, ...readingColumns(recording) })
    .execute();
  let number = 0;
  for (const chunk of chunksOf(bytes)) {
    // The driver blocks while it writes; between chunks the program answers others.
    if (number > 0) await new Promise((resume) => setImmediate(resume));
    const packed = packBytes(chunk);
    await db
      .insertInto("recordingChunk")
      .values({ recordingSha256: sha256, number, ...packed, sizeBytes: chunk.length })
      .execute();
    number += 1;
  }
}

/** Puts another reading in the place of the old one; the bytes stay. */
export async function updateReading(
  db: Kysely<Database>,
  sha256: string,
  read: ReadingOfRecording,
): Promise<StoreAnswer<null>> {
  const { numUpdatedRows } = await db
    .updateTable("recording")
    .set(readingColumns(read))
    .where("sha256", "=", sha256)
    .executeTakeFirstOrThrow();
  return numUpdatedRows === 0n
    ? { ok: false, refusal: { kind: "missing", what: "recording", id: sha256 } }
    : { ok: true, value: null };
}

export async function getRecording(
  db: Kysely<Database>,
  sha256: string,
): Promise<StoredRecording | undefined> {
  const row = await db.selectFrom("recording").selectAll().where("sha256", "=", sha256).executeTakeFirst();
  return row === undefined ? undefined : toRecording(row);
}

export async function listRecordings(
  db: Kysely<Database>,
  filter: { readonly seriesId?: string } = {},
): Promise<readonly StoredRecording[]> {
  let query = db.selectFrom("recording").selectAll();
  if (filter.seriesId !== undefined) query = query.where("seriesId", "=", filter.seriesId);
  return (await query.orderBy("seq").execute()).map(toRecording);
}

export async function recordingBytes(db: Kysely<Database>, sha256: string): Promise<Uint8Array | undefined> {
  const size = await sizeOf(db, sha256);
  if (size === undefined) return undefined;
  const whole = new Uint8Array(size);
  let at = 0;
  for (let number = 0; at < size; number += 1) {
    const chunk = await chunkOf(db, sha256, number);
    // To unpack a chunk takes some thirty milliseconds: between two the program answers others.
    if (number > 0) await new Promise((resume) => setImmediate(resume));
    whole.set(textOf(chunk), at);
    at += chunk.sizeBytes;
  }
  return whole;
}

/** Tells what a recording was packed to, where its first bytes lie as rows; others of its chunks may lie otherwise. */
export async function recordingRows(
  db: Kysely<Database>,
  sha256: string,
  reader: RowsReader,
): Promise<boolean> {
  const size = (await sizeOf(db, sha256)) ?? 0;
  let at = 0;
  for (let number = 0; at < size; number += 1) {
    const chunk = await chunkOf(db, sha256, number);
    if (number === 0 && chunk.packing !== "rows") return false;
    // A chunk takes some ten milliseconds: between two the program answers others.
    if (number > 0) await new Promise((resume) => setImmediate(resume));
    if (chunk.packing === "rows") readRows(chunk.bytes, reader);
    else reader.text(textOf(chunk));
    at += chunk.sizeBytes;
  }
  return size > 0;
}

export async function recordingOutline(
  db: Kysely<Database>,
  sha256: string,
): Promise<Uint8Array | undefined> {
  const found = await db
    .selectFrom("recordingOutline")
    .innerJoin("recording", "recording.sha256", "recordingOutline.recordingSha256")
    .select("recordingOutline.bytes")
    .where("recordingOutline.recordingSha256", "=", sha256)
    .whereRef("recordingOutline.layout", "=", "recording.layout")
    .executeTakeFirst();
  return found?.bytes;
}

/** Does nothing where the recording is gone. */
export async function keepOutline(
  db: Kysely<Database>,
  sha256: string,
  layout: Layout,
  bytes: Uint8Array,
): Promise<void> {
  if ((await sizeOf(db, sha256)) === undefined) return;
  const outline = { layout: JSON.stringify(layout), bytes };
  await db
    .insertInto("recordingOutline")
    .values({ recordingSha256: sha256, ...outline })
    .onConflict((conflict) => conflict.column("recordingSha256").doUpdateSet(outline))
    .execute();
}

async function sizeOf(db: Kysely<Database>, sha256: string): Promise<number | undefined> {
  const recording = await db
    .selectFrom("recording")
    .select("sizeBytes")
    .where("sha256", "=", sha256)
    .executeTakeFirst();
  return recording && Number(recording.sizeBytes);
}

async function chunkOf(db: Kysely<Database>, sha256: string, number: number) {
  const chunk = await db
    .selectFrom("recordingChunk")
    .select(["bytes", "packing", "sizeBytes"])
    .where("recordingSha256", "=", sha256)
    .where("number", "=", number)
    .executeTakeFirstOrThrow();
  return { ...chunk, sizeBytes: chunk.sizeBytes ?? chunk.bytes.length };
}

function textOf(chunk: Packed & { readonly sizeBytes: number }): Uint8Array {
  return unpackBytes(chunk, chunk.sizeBytes);
}

export async function removeRecording(db: Kysely<Database>, sha256: string): Promise<StoreAnswer<null>> {
  const users = await usersOf(db, "recording", sha256);
  if (users !== undefined) return { ok: false, refusal: { kind: "in-use", id: sha256, by: users } };
  await db.deleteFrom("recordingChunk").where("recordingSha256", "=", sha256).execute();
  await db.deleteFrom("recordingOutline").where("recordingSha256", "=", sha256).execute();
  const { numDeletedRows } = await db
    .deleteFrom("recording")
    .where("sha256", "=", sha256)
    .executeTakeFirstOrThrow();
  if (numDeletedRows === 0n)
    return { ok: false, refusal: { kind: "missing", what: "recording", id: sha256 } };
  return { ok: true, value: null };
}

function readingColumns({ layout, reading, readWith, stretches }: ReadingOfRecording) {
  return {
    layout: JSON.stringify(layout),
    reading: JSON.stringify(reading),
    readWith: JSON.stringify(readWith),
    stretches: JSON.stringify(stretches),
  };
}

function toRecording(row: Selectable<RecordingTable>): StoredRecording {
  return {
    sha256: row.sha256,
    fileName: row.fileName,
    sizeBytes: Number(row.sizeBytes),
    importedAt: row.importedAt,
    seriesId: row.seriesId,
    layout: JSON.parse(row.layout),
    reading: JSON.parse(row.reading),
    readWith: JSON.parse(row.readWith),
    stretches: JSON.parse(row.stretches),
  };
}

/**
 * The same bytes cut anew at the ends of lines, so that how they came in does not decide how they lie in the book. What
 * comes in one piece that is small enough is not copied.
 */
function* chunksOf(parts: readonly Uint8Array[]): Generator<Uint8Array> {
  const [first] = parts;
  if (parts.length === 1 && first !== undefined && first.length <= chunkBytes) {
    if (first.length > 0) yield first;
    return;
  }
  let left = parts.reduce((sum, { length }) => sum + length, 0);
  let chunk = new Uint8Array(Math.min(chunkBytes, left));
  let filled = 0;
  for (const part of parts)
    for (let at = 0; at < part.length; ) {
      const piece = part.subarray(at, at + chunk.length - filled);
      chunk.set(piece, filled);
      filled += piece.length;
      at += piece.length;
      if (filled < chunk.length) continue;
      const end = filled === left ? filled : chunk.lastIndexOf(lineFeed) + 1 || filled;
      const rest = chunk.subarray(end);
      yield chunk.subarray(0, end);
      left -= end;
      chunk = new Uint8Array(Math.min(chunkBytes, left));
      chunk.set(rest);
      filled = rest.length;
    }
}

const lineFeed = 10;
