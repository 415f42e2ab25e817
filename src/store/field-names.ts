import { CamelCasePlugin } from "kysely";

/**
 * Fields in camelCase as columns in snake_case, one underscore for each capital: `massPerLengthGPerM` is
 * `mass_per_length_g_per_m`. Kysely's own rule takes "GP" for one word.
 */
export class FieldNamesPlugin extends CamelCasePlugin {
  constructor() {
    super({ maintainNestedObjectKeys: true });
  }

  protected override snakeCase(field: string): string {
    return field.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
  }

  protected override camelCase(column: string): string {
    return column.replace(/_([a-z])/g, (_, letter: string) => letter.toUpperCase());
  }
}
