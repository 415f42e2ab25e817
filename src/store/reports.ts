import type { Kysely, Selectable } from "kysely";
import type { StoredReport } from "../app/mod.ts";
import type { Database, ReportTable } from "./tables.ts";

export async function insertReport(db: Kysely<Database>, report: StoredReport, html: string): Promise<void> {
  const { id, seriesId, number, publishedAt, title, sha256 } = report;
  await db.insertInto("report").values({ id, seriesId, number, publishedAt, title, sha256, html }).execute();
}

/** Reports in the order in which they were published, without their pages. */
export async function listReports(
  db: Kysely<Database>,
  filter: { readonly seriesId?: string } = {},
): Promise<readonly StoredReport[]> {
  let query = db.selectFrom("report").select(["id", "seriesId", "number", "publishedAt", "title", "sha256"]);
  if (filter.seriesId !== undefined) query = query.where("seriesId", "=", filter.seriesId);
  const sorted = filter.seriesId === undefined ? query.orderBy("seq") : query.orderBy("number");
  return (await sorted.execute()).map(toReport);
}

export async function getReport(
  db: Kysely<Database>,
  id: string,
): Promise<{ readonly report: StoredReport; readonly html: string } | undefined> {
  const row = await db.selectFrom("report").selectAll().where("id", "=", id).executeTakeFirst();
  return row === undefined ? undefined : { report: toReport(row), html: row.html };
}

function toReport(row: Omit<Selectable<ReportTable>, "html" | "seq">): StoredReport {
  const { id, seriesId, number, publishedAt, title, sha256 } = row;
  return { id, seriesId, number, publishedAt, title, sha256 };
}
