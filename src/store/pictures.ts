import type { Kysely, Selectable } from "kysely";
import type { PictureSubject, StoredPicture } from "../app/mod.ts";
import type { Database, PictureTable } from "./tables.ts";

export async function insertPicture(
  db: Kysely<Database>,
  picture: StoredPicture,
  bytes: Uint8Array,
): Promise<void> {
  const { id, subject, fileName, mediaType, sha256, sizeBytes, caption, addedAt } = picture;
  await db
    .insertInto("picture")
    .values({
      id,
      seriesId: null,
      specimenId: null,
      pullId: null,
      [subjectColumns[subject.kind]]: subject.id,
      fileName,
      mediaType,
      sha256,
      sizeBytes,
      caption,
      addedAt,
    })
    .execute();
  await db.insertInto("pictureBytes").values({ pictureId: id, bytes }).execute();
}

/** The pictures of all these subjects, in the order in which they came. */
export async function listPictures(
  db: Kysely<Database>,
  subjects: readonly PictureSubject[],
): Promise<readonly StoredPicture[]> {
  const rows: Selectable<PictureTable>[] = [];
  for (const [kind, column] of Object.entries(subjectColumns)) {
    const ids = subjects.filter((subject) => subject.kind === kind).map(({ id }) => id);
    // A database takes only so many values in one statement.
    for (let at = 0; at < ids.length; at += 500)
      rows.push(
        ...(await db
          .selectFrom("picture")
          .selectAll()
          .where(column, "in", ids.slice(at, at + 500))
          .execute()),
      );
  }
  return rows.sort((a, b) => a.seq - b.seq).map(toPicture);
}

export async function getPicture(
  db: Kysely<Database>,
  id: string,
): Promise<{ readonly picture: StoredPicture; readonly bytes: Uint8Array } | undefined> {
  const row = await db
    .selectFrom("picture")
    .innerJoin("pictureBytes", "pictureBytes.pictureId", "picture.id")
    .selectAll("picture")
    .select("pictureBytes.bytes as bytes")
    .where("picture.id", "=", id)
    .executeTakeFirst();
  return row === undefined ? undefined : { picture: toPicture(row), bytes: new Uint8Array(row.bytes) };
}

export async function removePicture(db: Kysely<Database>, id: string): Promise<boolean> {
  await db.deleteFrom("pictureBytes").where("pictureId", "=", id).execute();
  const { numDeletedRows } = await db.deleteFrom("picture").where("id", "=", id).executeTakeFirstOrThrow();
  return numDeletedRows > 0n;
}

const subjectColumns = { series: "seriesId", specimen: "specimenId", pull: "pullId" } as const;

function toPicture(row: Selectable<PictureTable>): StoredPicture {
  return {
    id: row.id,
    subject: subjectOf(row),
    fileName: row.fileName,
    mediaType: row.mediaType as StoredPicture["mediaType"],
    sha256: row.sha256,
    sizeBytes: Number(row.sizeBytes),
    caption: row.caption,
    addedAt: row.addedAt,
  };
}

function subjectOf({ seriesId, specimenId, pullId }: Selectable<PictureTable>): PictureSubject {
  if (pullId !== null) return { kind: "pull", id: pullId };
  if (specimenId !== null) return { kind: "specimen", id: specimenId };
  if (seriesId !== null) return { kind: "series", id: seriesId };
  throw new Error("A picture in the book belongs to nothing, which its table forbids.");
}
