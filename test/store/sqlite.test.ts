import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Sqlite from "better-sqlite3";
import { type CompiledQuery, Kysely, Migrator } from "kysely";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type Store, StoreTrouble } from "../../src/app/mod.ts";
import { makeStore } from "../../src/store/book.ts";
import { FieldNamesPlugin } from "../../src/store/field-names.ts";
import { migrationNames, migrationProvider } from "../../src/store/migrations/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { BookDialect } from "../../src/store/sqlite/dialect.ts";
import { connect, sqliteFlavour } from "../../src/store/sqlite/open.ts";
import type { Database } from "../../src/store/tables.ts";
import { add, fieldsOf, keptNew, recordingOf, recordingText, rope } from "./examples.ts";

let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "bitterend-sqlite-"));
  path = join(folder, "loft.book");
});
afterEach(() => rmSync(folder, { recursive: true }));

async function openBook(options: Parameters<typeof openSqliteBook>[1] = { create: true }): Promise<Store> {
  const opened = await openSqliteBook(path, options);
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  return opened.value;
}

async function problemOfOpening(options: Parameters<typeof openSqliteBook>[1] = {}) {
  const opened = await openSqliteBook(path, options);
  if (opened.ok) await opened.value.close();
  return opened.ok ? undefined : opened.problems[0];
}

describe("opening a book", () => {
  it("makes a new one where asked, and opens it again with what it held", async () => {
    const book = await openBook();
    const stored = await add(book, "rope", rope);
    await book.close();
    const again = await openBook({});
    expect(await again.read.get("rope", stored.id)).toEqual(stored);
    await again.close();
  });

  it("is durable by its settings: write-ahead log, synchronous full, foreign keys on, strict tables", async () => {
    const book = await openBook();
    await book.close();
    const database = new Sqlite(path, { readonly: true });
    expect(database.pragma("journal_mode", { simple: true })).toBe("wal");
    const tables = database
      .prepare("select name, strict from pragma_table_list where type = 'table' and name not like 'sqlite_%'")
      .all() as { name: string; strict: number }[];
    expect(tables.length).toBeGreaterThan(15);
    for (const { name, strict } of tables)
      if (!name.startsWith("kysely_")) expect([name, strict]).toEqual([name, 1]);
    database.close();
    // synchronous and foreign_keys belong to a connection, so they are asked of the store's own.
    const { ask, close } = await watchedBook();
    expect(ask("pragma synchronous")).toEqual([{ synchronous: 2 }]);
    expect(ask("pragma foreign_keys")).toEqual([{ foreign_keys: 1 }]);
    await close();
  });

  it("refuses a missing file unless it may make one", async () => {
    expect(await problemOfOpening()).toMatchObject({ code: "BOOK_MISSING", where: { file: path } });
  });

  it.each([
    ["a text", "time,force\n0,1\n", "a file that is no SQLite database"],
    ["a file as long as a header, of noise", "x".repeat(5000), "a file that is no SQLite database"],
    ["an empty file", "", "an empty file"],
  ])("refuses %s and leaves it as it is", async (_, content, found) => {
    writeFileSync(path, content);
    expect(await problemOfOpening()).toMatchObject({ code: "BOOK_NOT_A_BOOK", found });
    expect(readFileSync(path, "utf8")).toBe(content);
  });

  it("refuses a folder", async () => {
    path = folder;
    expect(await problemOfOpening({ create: true })).toMatchObject({
      code: "BOOK_NOT_A_BOOK",
      found: "a folder",
    });
  });

  it("refuses a place below a file", async () => {
    writeFileSync(join(folder, "file"), "");
    path = join(folder, "file", "loft.book");
    expect(await problemOfOpening({ create: true })).toMatchObject({ code: "BOOK_UNWRITABLE" });
  });

  it("refuses another program's database and does not touch it", async () => {
    const other = new Sqlite(path);
    other.exec("create table thing (a)");
    other.close();
    const before = readFileSync(path);
    expect(await problemOfOpening({ create: true })).toMatchObject({
      code: "BOOK_NOT_A_BOOK",
      found: "a SQLite database of another program",
    });
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it("refuses a book that a newer program made", async () => {
    await (await openBook()).close();
    const newer = new Sqlite(path);
    newer.exec("insert into kysely_migration values ('9999-from-the-future', '2099-01-01T00:00:00.000Z')");
    newer.close();
    expect(await problemOfOpening()).toMatchObject({ code: "BOOK_NEWER", found: "9999-from-the-future" });
  });

  it("refuses a damaged book", async () => {
    await (await openBook()).close();
    const bytes = readFileSync(path);
    bytes.fill(0xaa, 100);
    writeFileSync(path, bytes);
    expect(await problemOfOpening()).toMatchObject({ code: "BOOK_DAMAGED" });
  });
});

describe("trouble while working", () => {
  it("says that the book is locked when another process does not let go", async () => {
    const book = await openBook({ create: true, waitMs: 50 });
    const other = new Sqlite(path);
    other.exec("begin immediate");
    const writing = book.transaction((work) => work.setFact("a", "b"));
    await expect(writing).rejects.toBeInstanceOf(StoreTrouble);
    await expect(writing).rejects.toMatchObject({ problem: { code: "BOOK_LOCKED" } });
    // Reading goes on meanwhile, and writing afterwards.
    expect(await book.read.getFact("a")).toBeUndefined();
    other.exec("rollback");
    other.close();
    await book.transaction((work) => work.setFact("a", "b"));
    expect(await book.read.getFact("a")).toBe("b");
    await book.close();
  });

  it("says that the disk is full, keeps nothing of that change and all that was there before", async () => {
    await (await openBook()).close();
    const pages = statSync(path).size / 4096;
    const book = await openBook({ maxPages: pages + 20 });
    const series = await add(book, "series", { title: "before" });
    const bytes = recordingText(30_000);
    const recording = recordingOf(series.id, bytes);
    const storing = book.transaction((work) => work.insertRecording(recording, [bytes]));
    await expect(storing).rejects.toMatchObject({ problem: { code: "BOOK_FULL" } });
    expect(await book.read.getRecording(recording.sha256)).toBeUndefined();
    expect(await book.read.list("series")).toEqual([series]);
    await add(book, "rope", rope);
    await book.close();
  });

  it("throws on as it is what is a fault of the program", async () => {
    const book = await openBook();
    const series = await add(book, "series", { title: "t" });
    const twice = { ...keptNew("ser"), id: series.id };
    const error = await book
      .transaction((work) => work.insert("series", twice, fieldsOf("series", { title: "u" })))
      .catch((error: unknown) => error);
    expect(error).not.toBeInstanceOf(StoreTrouble);
    expect(error).toMatchObject({ code: "SQLITE_CONSTRAINT_UNIQUE" });
    await book.close();
  });
});

describe("the schema", () => {
  it("is the reviewed one after each migration: a shipped migration changes by a new one only", async () => {
    const database = connect(path);
    const db = new Kysely<Database>({ dialect: new BookDialect(database) });
    const migrator = new Migrator({ db, provider: migrationProvider(sqliteFlavour) });
    const statements = database
      .prepare(
        "select sql from sqlite_schema where sql is not null and name not like 'sqlite_%' order by rowid",
      )
      .pluck();
    let before: readonly string[] = [];
    for (const name of migrationNames) {
      const { error } = await migrator.migrateTo(name);
      expect(error).toBeUndefined();
      const after = (statements.all() as string[]).map(onePerLine);
      await expect(changes(before, after)).toMatchFileSnapshot(`schema/${name}.sql`);
      before = after;
    }
    await db.destroy();
  });

  it("finds every list and lookup by an index", async () => {
    const { store, ask, queries, close } = await watchedBook();
    const series = await add(store, "series", { title: "t" });
    const specimen = await add(store, "specimen", { seriesId: series.id, label: "A1" });
    const bytes = recordingText(10);
    const recording = recordingOf(series.id, bytes);
    await store.transaction((work) => work.insertRecording(recording, [bytes]));
    queries.length = 0;
    await store.read.list("specimen", { seriesId: series.id });
    await store.read.list("pull", { seriesId: series.id });
    await store.read.list("pull", { specimenId: specimen.id });
    await store.read.list("pull", { recordingSha256: recording.sha256 });
    await store.read.listRecordings({ seriesId: series.id });
    await store.read.getRecording(recording.sha256);
    await store.read.recordingBytes(recording.sha256);
    await store.read.listReports({ seriesId: series.id });
    await store.read.getReport("rep-1");
    await store.read.listImports({ seriesId: series.id });
    await store.read.listImports({ contentSha256: "a" });
    await store.read.getPicture("pic-1");
    await store.read.listPictures([
      { kind: "series", id: series.id },
      { kind: "specimen", id: specimen.id },
      { kind: "pull", id: "pul-1" },
    ]);
    await store.read.getFact("demo");
    for (const kind of ["rope", "spool", "recipe", "hardware", "load-cell", "bench", "series"] as const) {
      await store.read.get(kind, "x");
      await store.transaction((work) => work.remove(kind, "x"));
    }
    // A recording's pulls and a series' reports are few, and found by an index; sorting them costs nothing.
    const sorted =
      /where "recording_sha256" = \? order by|from "(report|imported_bundle)" where "(series_id|content_sha256)" = \? order by "seq"/;
    const selects = queries.filter(({ sql }) => sql.startsWith("select") && !sorted.test(sql));
    expect(selects.length).toBeGreaterThan(25);
    for (const { sql, parameters } of selects) {
      const plan = (ask(`explain query plan ${sql}`, parameters) as { detail: string }[]).map(
        ({ detail }) => detail,
      );
      expect({ sql, plan: plan.filter((step) => /SCAN|TEMP B-TREE/.test(step)) }).toEqual({ sql, plan: [] });
    }
    // Whole lists walk their table in the order of coming, without sorting.
    queries.length = 0;
    await store.read.list("rope");
    await store.read.listReports();
    await store.read.listRecordings();
    for (const { sql } of queries)
      expect(JSON.stringify(ask(`explain query plan ${sql}`)), sql).not.toContain("TEMP B-TREE");
    await close();
  });

  it("has an index for each foreign key", async () => {
    await (await openBook()).close();
    const database = new Sqlite(path, { readonly: true });
    const keys = database
      .prepare(
        `select tables.name as tableName, keys."from" as columnName
         from pragma_table_list as tables, pragma_foreign_key_list(tables.name) as keys`,
      )
      .all() as { tableName: string; columnName: string }[];
    expect(keys.length).toBeGreaterThan(15);
    for (const { tableName, columnName } of keys) {
      const plan = database
        .prepare(`explain query plan select 1 from "${tableName}" where "${columnName}" = ?`)
        .all("x") as { detail: string }[];
      expect([tableName, columnName, plan[0]?.detail.slice(0, 6)]).toEqual([tableName, columnName, "SEARCH"]);
    }
    database.close();
  });
});

/** The store over a database whose statements are written down, and which can be asked beside it. */
async function watchedBook() {
  await (await openBook()).close();
  const database = connect(path);
  const queries: CompiledQuery[] = [];
  const db = new Kysely<Database>({
    dialect: new BookDialect(database),
    plugins: [new FieldNamesPlugin()],
    log: ({ query }) => {
      queries.push(query);
    },
  });
  return {
    store: makeStore(db, () => undefined),
    queries,
    ask: (sql: string, parameters: readonly unknown[] = []) =>
      database.prepare<unknown[]>(sql).all(...parameters),
    close: () => db.destroy(),
  };
}

/** A statement of the schema with a line for each column, so that a change shows as a line of its own. */
function onePerLine(statement: string): string {
  return `${statement.replaceAll(/, (?=(constraint )?"\w+" (text|real|integer|blob|primary|check))/g, ",\n  ")};`;
}

/** What a migration did to the schema: new statements as they are, of changed ones the lines that went and came. */
function changes(before: readonly string[], after: readonly string[]): string {
  const subject = (statement: string): string => statement.slice(0, statement.indexOf("("));
  const known = new Map(before.map((one) => [subject(one), one.split("\n")]));
  const changed = after.flatMap((statement) => {
    const old = known.get(subject(statement));
    if (old === undefined) return [statement];
    const lines = statement.split("\n");
    const went = old.filter((line) => !lines.includes(line)).map((line) => `-- gone: ${line}`);
    const came = lines.filter((line) => !old.includes(line));
    return went.length + came.length === 0
      ? []
      : [[`-- in ${subject(statement)}`, ...went, ...came].join("\n")];
  });
  const still = new Set(after.map(subject));
  const dropped = [...known.keys()].filter((one) => !still.has(one)).map((one) => `-- dropped: ${one}`);
  return `${[...dropped, ...changed].join("\n\n")}\n`;
}
