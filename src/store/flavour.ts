import type { ColumnBuilderCallback, RawBuilder } from "kysely";

/** Where the two databases speak differently: the words that a migration asks for instead of naming a database. */
export type Flavour = {
  /** A floating-point number of 64 bits. */
  readonly real: "real" | "double precision";
  /** A whole number above 2^31. */
  readonly bigInteger: "integer" | "bigint";
  readonly bytes: "blob" | "bytea";
  /** Makes an integer column the primary key that counts up by itself: the order in which rows came. */
  readonly counting: ColumnBuilderCallback;
  /** What is written behind `create table`, such as SQLite's `strict`. */
  readonly tableEnd?: RawBuilder<unknown>;
};
