import type { Kysely, Selectable } from "kysely";
import type { FrozenReport, StoreAnswer, StoredReport, Withdrawal } from "../app/mod.ts";
import type { Database, ReportTable } from "./tables.ts";

export async function insertReport(
  db: Kysely<Database>,
  report: StoredReport,
  html: string,
  content?: string,
): Promise<void> {
  const { id, seriesId, number, publishedAt, title, sha256, contentSha256, note, changes, withdrawn } =
    report;
  await db
    .insertInto("report")
    .values({
      id,
      seriesId,
      number,
      publishedAt,
      title,
      sha256,
      html,
      contentSha256: contentSha256 ?? null,
      content: content ?? null,
      note,
      changes: JSON.stringify(changes),
      withdrawnAt: withdrawn?.at ?? null,
      withdrawnReason: withdrawn?.reason ?? null,
    })
    .execute();
}

/** Reports in the order in which they were published, without their pages. */
export async function listReports(
  db: Kysely<Database>,
  filter: { readonly seriesId?: string } = {},
): Promise<readonly StoredReport[]> {
  let query = db
    .selectFrom("report")
    .select([
      "id",
      "seriesId",
      "number",
      "publishedAt",
      "title",
      "sha256",
      "contentSha256",
      "note",
      "changes",
      "withdrawnAt",
      "withdrawnReason",
    ]);
  if (filter.seriesId !== undefined) query = query.where("seriesId", "=", filter.seriesId);
  const sorted = filter.seriesId === undefined ? query.orderBy("seq") : query.orderBy("number");
  return (await sorted.execute()).map(toReport);
}

export async function getReport(db: Kysely<Database>, id: string): Promise<FrozenReport | undefined> {
  const row = await db.selectFrom("report").selectAll().where("id", "=", id).executeTakeFirst();
  if (row === undefined) return undefined;
  return {
    report: toReport(row),
    html: row.html,
    ...(row.content === null ? {} : { content: row.content }),
  };
}

export async function withdrawReport(
  db: Kysely<Database>,
  id: string,
  { at, reason }: Withdrawal,
): Promise<StoreAnswer<null>> {
  const { numUpdatedRows } = await db
    .updateTable("report")
    .set({ withdrawnAt: at, withdrawnReason: reason })
    .where("id", "=", id)
    .executeTakeFirstOrThrow();
  return numUpdatedRows === 0n
    ? { ok: false, refusal: { kind: "missing", what: "report", id } }
    : { ok: true, value: null };
}

function toReport(row: Omit<Selectable<ReportTable>, "html" | "content" | "seq">): StoredReport {
  const { id, seriesId, number, publishedAt, title, sha256, contentSha256, note, changes } = row;
  return {
    id,
    seriesId,
    number,
    publishedAt,
    title,
    sha256,
    ...(contentSha256 === null ? {} : { contentSha256 }),
    note,
    changes: JSON.parse(changes),
    ...(row.withdrawnAt === null
      ? {}
      : { withdrawn: { at: row.withdrawnAt, reason: row.withdrawnReason ?? "" } }),
  };
}
