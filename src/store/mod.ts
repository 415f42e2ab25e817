/**
 * The book on disk: one SQLite file. The repository over it is written for either database, so that a PostgreSQL book
 * needs only its own dialect, flavour and list of troubles.
 *
 * @example
 * const book = await openSqliteBook("loft.book", { create: true });
 * if (!book.ok) console.error(formatProblems("Cannot open the book", book.problems));
 */
export { type OpenOptions, openSqliteBook } from "./sqlite/open.ts";
