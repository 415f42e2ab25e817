import { CamelCasePlugin } from "kysely";

/**
 * Fields in camelCase as columns in snake_case, one underscore for each capital: `massPerLengthGPerM` is
 * `mass_per_length_g_per_m`. Kysely's own rule takes "GP" for one word.
 */
export class FieldNamesPlugin extends CamelCasePlugin {
  /** Columns come again with each row: a few dozen names in all. */
  readonly #fields = new Map<string, string>();

  constructor() {
    super({ maintainNestedObjectKeys: true });
  }

  protected override snakeCase(field: string): string {
    return columnOf(field);
  }

  protected override camelCase(column: string): string {
    let field = this.#fields.get(column);
    if (field === undefined) {
      field = column.replace(/_([a-z])/g, (_, letter: string) => letter.toUpperCase());
      this.#fields.set(column, field);
    }
    return field;
  }

  /** A row's values are never objects with names of their own, and so are taken as they are: half the time of a list. */
  protected override mapRow(row: Readonly<Record<string, unknown>>): Record<string, unknown> {
    const named: Record<string, unknown> = {};
    for (const column in row) named[this.camelCase(column)] = row[column];
    return named;
  }
}

/** The column of a field. */
export function columnOf(field: string): string {
  return field.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
}
