import type { RecordFields, RecordKind, StoredRecord } from "../app/mod.ts";
import { columnOf } from "./field-names.ts";
import { type ColumnForm, recordShapes, type SqlValue } from "./tables.ts";

/** A record's fields as the columns of its row; an absent field is NULL. */
export function toColumns<K extends RecordKind>(kind: K, fields: RecordFields<K>): Record<string, SqlValue> {
  const columns: Record<string, SqlValue> = {};
  for (const { field, form } of formsOf(kind)) {
    const value: unknown = (fields as Record<string, unknown>)[field];
    if (form === "outcome") Object.assign(columns, outcomeColumns(value));
    else columns[field] = value === undefined ? null : asSql(form, value);
  }
  return columns;
}

/** A row by the names of its columns. */
export type RecordRow = Readonly<Record<string, SqlValue>>;

/** A row as the record that it keeps. */
export function toRecord<K extends RecordKind>(kind: K, row: RecordRow): StoredRecord<K> {
  const record: Record<string, unknown> = {
    id: row["id"],
    revision: row["revision"],
    createdAt: row["created_at"],
    changedAt: row["changed_at"],
  };
  for (const { field, column, form } of formsOf(kind)) {
    const value = form === "outcome" ? outcomeOf(row) : fromSql(form, row[column] ?? null);
    if (value !== undefined) record[field] = value;
  }
  return record as StoredRecord<K>;
}

/** Made once for each kind, for they are asked for with each row. */
const forms = new Map<RecordKind, readonly Form[]>();

type Form = { readonly field: string; readonly column: string; readonly form: ColumnForm };

function formsOf(kind: RecordKind): readonly Form[] {
  const known = forms.get(kind);
  if (known !== undefined) return known;
  const made = Object.entries(recordShapes[kind].columns).map(([field, form]: [string, ColumnForm]) => ({
    field,
    column: columnOf(field),
    form,
  }));
  forms.set(kind, made);
  return made;
}

function asSql(form: Exclude<ColumnForm, "outcome">, value: unknown): SqlValue {
  switch (form) {
    case "json":
      return JSON.stringify(value);
    case "boolean":
      return value === true ? 1 : 0;
    default:
      return value as string | number;
  }
}

function fromSql(form: Exclude<ColumnForm, "outcome">, value: SqlValue): unknown {
  if (value === null) return undefined;
  switch (form) {
    case "json":
      return JSON.parse(String(value));
    case "boolean":
      return value === 1;
    default:
      return value;
  }
}

function outcomeColumns(value: unknown): Record<string, SqlValue> {
  const outcome = value as { kind: string; place?: string; reason?: string } | undefined;
  return {
    outcomeKind: outcome?.kind ?? null,
    outcomePlace: outcome?.place ?? null,
    outcomeReason: outcome?.reason ?? null,
  };
}

function outcomeOf(row: RecordRow): unknown {
  if (row["outcome_kind"] == null) return undefined;
  const outcome: Record<string, SqlValue> = { kind: row["outcome_kind"] };
  if (row["outcome_place"] != null) outcome["place"] = row["outcome_place"];
  if (row["outcome_reason"] != null) outcome["reason"] = row["outcome_reason"];
  return outcome;
}
