import { type Kysely, sql } from "kysely";
import { type RecordKind, recordKindNames, references } from "../app/mod.ts";
import { type Database, recordShapes } from "./tables.ts";

/** A table and column that can point at a record, and which of its columns names the row to a person. */
type Pointer = {
  readonly table: keyof Database;
  readonly column: string;
  readonly word: string;
  readonly name: string;
};

/**
 * What rests on a record, in words: `specimen "A1", specimen "A2"`; undefined where nothing does. It names three and
 * says when there are more.
 */
export async function usersOf(
  db: Kysely<Database>,
  kind: RecordKind | "recording",
  id: string,
): Promise<string | undefined> {
  const named: string[] = [];
  for (const { table, column, word, name } of pointersTo(kind)) {
    const rows = await db
      .selectFrom(table)
      .select([sql<string>`${sql.ref(name)}`.as("name")])
      .where(sql.ref(column), "=", id)
      .orderBy(sql.ref("seq"))
      .limit(4)
      .execute();
    named.push(...rows.map((row) => `${word} ${typeof row.name === "number" ? row.name : `"${row.name}"`}`));
  }
  const different = [...new Set(named)];
  if (different.length === 0) return undefined;
  return different.slice(0, 3).join(", ") + (different.length > 3 ? " and others" : "");
}

function pointersTo(kind: RecordKind | "recording"): Pointer[] {
  const pointers: Pointer[] = [];
  for (const user of recordKindNames)
    for (const [column, target] of Object.entries(references[user] ?? {}))
      if (target === kind)
        pointers.push({ table: recordShapes[user].table, column, word: user, name: nameOf[user] ?? "name" });
  return [...pointers, ...(beside[kind] ?? [])];
}

/** The column that names a record to a person, where it is not `name`. */
const nameOf: Readonly<Partial<Record<RecordKind, string>>> = {
  series: "title",
  specimen: "label",
  pull: "id",
  claim: "statement",
};

/** Pointers from what is no record: recordings, pictures, reports. */
const beside: Readonly<Partial<Record<RecordKind | "recording", readonly Pointer[]>>> = {
  series: [
    { table: "recording", column: "seriesId", word: "recording", name: "fileName" },
    { table: "picture", column: "seriesId", word: "picture", name: "fileName" },
    { table: "report", column: "seriesId", word: "report", name: "number" },
  ],
  specimen: [{ table: "picture", column: "specimenId", word: "picture", name: "fileName" }],
  pull: [{ table: "picture", column: "pullId", word: "picture", name: "fileName" }],
  recording: [{ table: "pull", column: "recordingSha256", word: "pull", name: "id" }],
};
