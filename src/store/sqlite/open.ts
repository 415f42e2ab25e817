import { closeSync, existsSync, fstatSync, mkdirSync, openSync, readSync } from "node:fs";
import { dirname } from "node:path";
import Sqlite from "better-sqlite3";
import { Kysely, Migrator, sql } from "kysely";
import { type Store, StoreTrouble } from "../../app/mod.ts";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { makeStore } from "../book.ts";
import { FieldNamesPlugin } from "../field-names.ts";
import type { Flavour } from "../flavour.ts";
import { migrationNames, migrationProvider } from "../migrations/mod.ts";
import type { Database } from "../tables.ts";
import { BookDialect } from "./dialect.ts";
import { notABook, sqliteTrouble } from "./trouble.ts";

export type OpenOptions = {
  /** Makes a new book where there is none; without it a missing file is refused. */
  readonly create?: boolean;
  /** How long to wait for another process to finish writing, in milliseconds. Default 5000. */
  readonly waitMs?: number;
  /** The most pages (4096 bytes each) that the book may grow to; for a disk with a quota, and for tests of a full one. */
  readonly maxPages?: number;
};

/**
 * Opens a book in one SQLite file, or in memory for ":memory:", and brings its schema up to date.
 *
 * Every acknowledged change is on the disk: write-ahead log, `synchronous=FULL`. Several processes may have the book
 * open; they take turns at writing.
 *
 * At the edges: a missing file without `create`, a file that is something else, a book made by a newer program, a book
 * that is locked, damaged or cannot be written is refused with the reason and left untouched.
 *
 * @example
 * const book = await openSqliteBook(":memory:", { create: true });
 * if (book.ok) await book.value.close();
 */
export async function openSqliteBook(path: string, options: OpenOptions = {}): Promise<Result<Store>> {
  const inMemory = path === ":memory:";
  const unfit = inMemory ? undefined : unfitFile(path, options.create === true);
  if (unfit !== undefined) return refuse(unfit);

  let database: Sqlite.Database | undefined;
  try {
    if (!inMemory) mkdirSync(dirname(path), { recursive: true });
    database = connect(path, options);
    const newer = unknownMigration(database);
    if (newer !== undefined) {
      database.close();
      return refuse(newerBook(path, newer));
    }
    const db = new Kysely<Database>({
      dialect: new BookDialect(database),
      plugins: [new FieldNamesPlugin()],
    });
    const { error } = await new Migrator({
      db: db.withoutPlugins(),
      provider: migrationProvider(sqliteFlavour),
    }).migrateToLatest();
    if (error !== undefined) throw error;
    return ok(makeStore(db, (error) => sqliteTrouble(error, path)));
  } catch (error) {
    database?.close();
    if (error instanceof StoreTrouble) return refuse(error.problem);
    const problem = sqliteTrouble(error, path) ?? fileTrouble(error, path);
    if (problem === undefined) throw error;
    return refuse(problem);
  }
}

/** Marks the file as a book in SQLite's header, so that no other program's database is taken for one: "BEnd". */
const applicationId = 0x42_45_6e_64;

export const sqliteFlavour: Flavour = {
  real: "real",
  bigInteger: "integer",
  bytes: "blob",
  counting: (column) => column.primaryKey().autoIncrement(),
  tableEnd: sql`strict`,
};

/** A connection to the file with the settings that a book needs; marks a new file as a book. */
export function connect(path: string, { waitMs = 5000, maxPages }: OpenOptions = {}): Sqlite.Database {
  const database = new Sqlite(path, { timeout: waitMs });
  try {
    prepare(database, maxPages);
  } catch (error) {
    database.close();
    throw error;
  }
  return database;
}

/** 32 MiB; the log goes when the book is closed. */
const pagesInLog = 8192;

function prepare(database: Sqlite.Database, maxPages: number | undefined): void {
  // First of all, so that a book is known as one from its first page on.
  if (database.pragma("application_id", { simple: true }) !== applicationId)
    database.pragma(`application_id = ${applicationId}`);
  database.pragma("journal_mode = WAL");
  database.pragma("synchronous = FULL");
  // SQLite's own 1,000 pages are full after some sixty recordings, and what is in the log must then reach the disk once
  // more, in the middle of an import: a recording takes a quarter longer by that, measured over 100.
  database.pragma(`wal_autocheckpoint = ${pagesInLog}`);
  database.pragma("foreign_keys = ON");
  if (maxPages !== undefined) database.pragma(`max_page_count = ${Math.trunc(maxPages)}`);
}

/** Why the file at this path cannot be opened as a book, found without writing to it. */
function unfitFile(path: string, create: boolean): Problem | undefined {
  if (!existsSync(path))
    return create
      ? undefined
      : {
          code: "BOOK_MISSING",
          message: "There is no book at this path.",
          where: { file: path },
          wayOut: "Name another file, or start the program once to make a new book.",
        };
  const header = new Uint8Array(100);
  let length: number;
  try {
    const file = openSync(path, "r");
    try {
      if (fstatSync(file).isDirectory()) return notABook(path, "a folder");
      length = readSync(file, header, 0, header.length, 0);
    } finally {
      closeSync(file);
    }
  } catch (error) {
    const problem = fileTrouble(error, path);
    if (problem === undefined) throw error;
    return problem;
  }
  // Left by a program that ended between making the file and its first page.
  if (length === 0) return create ? undefined : notABook(path, "an empty file");
  const magic = new TextDecoder().decode(header.subarray(0, 16));
  if (magic !== "SQLite format 3\0") return notABook(path, "a file that is no SQLite database");
  // Bytes 68 to 71 of the header, https://www.sqlite.org/fileformat.html section 1.3.
  if (new DataView(header.buffer).getInt32(68) !== applicationId)
    return notABook(path, "a SQLite database of another program");
  return undefined;
}

/** A migration that the book has run and this program does not know: a newer program made or changed the book. */
function unknownMigration(database: Sqlite.Database): string | undefined {
  const known = database
    .prepare("select 1 from sqlite_schema where type = 'table' and name = 'kysely_migration'")
    .get();
  if (known === undefined) return undefined;
  const names = database.prepare("select name from kysely_migration order by name").pluck().all() as string[];
  return names.find((name) => !migrationNames.includes(name));
}

function newerBook(path: string, migration: string): Problem {
  return {
    code: "BOOK_NEWER",
    message: "The book was made or changed by a newer version of the program; it was left as it is.",
    where: { file: path },
    found: migration,
    expected: `a book up to ${migrationNames.at(-1)}`,
    wayOut: "Open it with the newer version, or name another book.",
  };
}

function fileTrouble(error: unknown, path: string): Problem | undefined {
  const code = (error as { code?: unknown } | null)?.code;
  const known = ["EACCES", "EPERM", "EROFS", "ENOTDIR", "EEXIST", "ENOSPC", "ENAMETOOLONG", "ELOOP", "EIO"];
  if (typeof code !== "string" || !known.includes(code)) return undefined;
  return {
    code: code === "ENOSPC" ? "BOOK_FULL" : "BOOK_UNWRITABLE",
    message: "The book's file cannot be opened or made.",
    where: { file: path },
    found: code,
    wayOut: "Check that the folder exists and that you may write in it, or name another book.",
  };
}
