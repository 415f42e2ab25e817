import { z } from "zod";
import { ok, type Problem, type Result } from "../problem/mod.ts";
import { parseJson } from "./canonical.ts";
import { type RowOf, type TableName, tableFields } from "./content.ts";
import { type Cell, unguarded } from "./csv.ts";

/** A column of a table: the field's name with underscores, and its type as Table Schema names it. */
export type Column = {
  readonly field: string;
  readonly name: string;
  readonly type: "string" | "number" | "integer" | "boolean" | "date" | "object" | "array";
  readonly required: boolean;
  readonly choices?: readonly string[];
};

/**
 * The columns of a table, taken from the schema of its rows, so that none can be forgotten.
 *
 * @example
 * columnsOf("ropes")[0] // { field: "id", name: "id", type: "string", required: true }
 */
export function columnsOf(table: TableName): readonly Column[] {
  const known = columns.get(table);
  if (known !== undefined) return known;
  const shape = z.toJSONSchema(tableFields[table], { io: "input", unrepresentable: "any" }) as JsonSchema;
  const required = new Set(shape.required ?? []);
  const made = Object.entries(shape.properties ?? {}).map(([field, property]): Column => {
    const choices = property.enum?.filter((choice): choice is string => typeof choice === "string");
    return {
      field,
      name: snakeCase(field),
      type: typeOf(property),
      required: required.has(field),
      ...(choices === undefined ? {} : { choices }),
    };
  });
  // The key first; what it belongs to and what it says after it.
  const keys = made.filter(({ field }) => field === "id" || field === "pullId" || field === "sha256");
  const sorted = [...keys.slice(0, 1), ...made.filter((one) => one !== keys[0])];
  columns.set(table, sorted);
  return sorted;
}

/** A row as the cells of its line. */
export function cellsOf(table: TableName, row: object): readonly Cell[] {
  return columnsOf(table).map(({ field }) => {
    const value = (row as Readonly<Record<string, unknown>>)[field];
    if (value === undefined || value === null) return undefined;
    if (typeof value === "string" || typeof value === "number") return value;
    return typeof value === "boolean" ? String(value) : JSON.stringify(value);
  });
}

/** A row without texts that say nothing, checked and completed by its schema; the form in which rows are compared. */
export function checkedRow<T extends TableName>(
  table: T,
  fields: Readonly<Record<string, unknown>>,
  place: { readonly file: string; readonly row: number },
): Result<RowOf<T>> {
  const said = Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== undefined && value !== ""),
  );
  const checked = tableFields[table].safeParse(said);
  if (checked.success) return ok(checked.data as RowOf<T>);
  const problems = checked.error.issues.map((issue): Problem => {
    const field = String(issue.path[0] ?? "");
    return {
      code: "BUNDLE_TABLE",
      message: `A row of the table does not hold what is wanted: ${issue.message}.`,
      where: { file: place.file, row: place.row, column: snakeCase(field) },
      found: shown(said[field]),
    };
  });
  return { ok: false, problems };
}

/** A row read from the cells of a line by the names over them. */
export function readRow<T extends TableName>(
  table: T,
  names: readonly string[],
  cells: readonly string[],
  place: { readonly file: string; readonly row: number },
): Result<RowOf<T>> {
  const fields: Record<string, unknown> = {};
  const problems: Problem[] = [];
  for (const { field, name, type } of columnsOf(table)) {
    const at = names.indexOf(name);
    const cell = at < 0 ? "" : (cells[at] ?? "");
    if (cell === "") continue;
    const value = readCell(type, cell);
    if (value === undefined)
      problems.push({
        code: "BUNDLE_TABLE",
        message: "A cell does not hold what its column is for.",
        where: { file: place.file, row: place.row, column: name },
        found: shown(cell),
        expected: type === "object" || type === "array" ? `JSON: an ${type}` : `a ${type}`,
      });
    else fields[field] = value;
  }
  return problems.length > 0 ? { ok: false, problems } : checkedRow(table, fields, place);
}

/** `buryFullMm` is `bury_full_mm`: one underscore for each capital, as in the book. */
export function snakeCase(field: string): string {
  return field.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
}

type JsonSchema = {
  readonly type?: string;
  readonly format?: string;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly JsonSchema[];
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly required?: readonly string[];
};

const columns = new Map<TableName, readonly Column[]>();

function typeOf({ type, format }: JsonSchema): Column["type"] {
  if (format === "date") return "date";
  switch (type) {
    case "number":
    case "integer":
    case "boolean":
    case "array":
    case "object":
      return type;
    default:
      return "string";
  }
}

function readCell(type: Column["type"], cell: string): unknown {
  switch (type) {
    case "number":
    case "integer":
      return /^-?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(cell) ? Number(cell) : undefined;
    case "boolean":
      return cell === "true" ? true : cell === "false" ? false : undefined;
    case "object":
    case "array":
      return parseJson(unguarded(cell));
    default:
      return unguarded(cell);
  }
}

function shown(value: unknown): string {
  const text = typeof value === "string" ? value : (JSON.stringify(value) ?? "nothing");
  return text.length > 200 ? `${text.slice(0, 200)}…` : text;
}
