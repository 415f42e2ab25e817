import type Database from "better-sqlite3";
import {
  CompiledQuery,
  type DatabaseConnection,
  type DialectAdapter,
  type Driver,
  SqliteAdapter,
  SqliteDialect,
  SqliteDriver,
} from "kysely";

/** Kysely's dialect for SQLite with two changes, each for a book that several processes have open. */
export class BookDialect extends SqliteDialect {
  readonly #database: Database.Database;

  constructor(database: Database.Database) {
    super({ database });
    this.#database = database;
  }

  override createDriver(): Driver {
    return new BookDriver(this.#database);
  }

  override createAdapter(): DialectAdapter {
    return new BookAdapter();
  }
}

class BookDriver extends SqliteDriver {
  readonly #database: Database.Database;

  constructor(database: Database.Database) {
    super({ database });
    this.#database = database;
  }

  /**
   * Takes the write lock at once. A transaction that begins by reading and writes later fails where another process
   * wrote in between, and no waiting helps it.
   */
  override async beginTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw("begin immediate"));
  }

  /** A full disk makes SQLite roll back by itself; a second rollback would hide the reason behind its own error. */
  override async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    if (this.#database.inTransaction) await connection.executeQuery(CompiledQuery.raw("rollback"));
  }
}

class BookAdapter extends SqliteAdapter {
  /** SQLite undoes changes of the schema with the rest, so a migration that was cut short leaves nothing behind. */
  override get supportsTransactionalDdl(): boolean {
    return true;
  }
}
