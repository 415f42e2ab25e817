import { z } from "zod";
import { ok, type Problem, type Result } from "../problem/mod.ts";
import { closestName } from "./closest-name.ts";

/**
 * Checks input from outside against a schema and completes it with the schema's defaults.
 *
 * Every fault becomes a problem with the field's path, what was found and what is wanted; a field that the schema does
 * not know is refused by name, with the name that was probably meant, instead of being dropped. Text that cannot be
 * written as UTF-8 or holds a NUL is refused, since not every database can keep it.
 *
 * @example
 * checkInput(z.object({ legs: z.number().int().min(1) }), { legs: 0 })
 * // refused: INPUT_FIELD, where.field "legs", found "0", expected "at least 1"
 */
export function checkInput<T>(schema: z.ZodType<T>, input: unknown): Result<T> {
  const parsed = schema.safeParse(input);
  const problems = [
    ...(parsed.success ? [] : parsed.error.issues.map((issue) => problemOf(issue, input))),
    ...faultsWithin(schema, input),
  ];
  return parsed.success && problems.length === 0 ? ok(parsed.data) : { ok: false, problems };
}

/** A path as it is written for people: `factors[0].levels[2]`. */
export function fieldPath(path: readonly PropertyKey[]): string {
  return path
    .map((step) => (typeof step === "number" ? `[${step}]` : `.${String(step)}`))
    .join("")
    .replace(/^\./, "");
}

/** A value as it is quoted in a problem: JSON, shortened. */
export function quoted(value: unknown): string {
  const text =
    typeof value === "string"
      ? value
      : typeof value === "number"
        ? String(value)
        : (JSON.stringify(value) ?? String(value));
  return text.length > 80 ? `${text.slice(0, 79)}…` : text;
}

type Issue = z.core.$ZodIssue;

function problemOf(issue: Issue, input: unknown): Problem {
  if (issue.code === "unrecognized_keys") return unknownField([...issue.path, issue.keys[0] ?? ""], []);
  const found = at(input, issue.path);
  const expected = wanted(issue);
  const field = fieldPath(issue.path);
  return {
    code: "INPUT_FIELD",
    message:
      found === undefined
        ? `${field === "" ? "The input" : "The field"} is missing; ${expected} is wanted.`
        : `This is not what is wanted here: ${expected}.`,
    ...(field === "" ? {} : { where: { field } }),
    ...(found === undefined ? {} : { found: quoted(found) }),
    expected,
  };
}

/** What an issue of the schema wants, in plain words. */
function wanted(issue: Issue): string {
  switch (issue.code) {
    case "invalid_type":
      return typeNames[issue.expected] ?? issue.expected;
    case "too_small":
      return `${issue.inclusive === false ? "more than" : "at least"} ${amount(issue.origin, Number(issue.minimum))}`;
    case "too_big":
      return `${issue.inclusive === false ? "less than" : "at most"} ${amount(issue.origin, Number(issue.maximum))}`;
    case "invalid_value":
      return oneOf(issue.values);
    case "invalid_format":
      return formatNames[issue.format] ?? `text of the form ${issue.pattern ?? issue.format}`;
    case "invalid_union":
      if ("options" in issue && Array.isArray(issue.options)) return oneOf(issue.options);
      return [...new Set(issue.errors.flatMap((errors) => errors.slice(0, 1).map(wanted)))].join(" or ");
    default:
      return issue.message;
  }
}

const typeNames: Readonly<Record<string, string>> = {
  number: "a number",
  int: "a whole number",
  string: "text",
  boolean: "true or false",
  array: "a list",
  object: "an object with named fields",
  record: "an object with named fields",
};

const formatNames: Readonly<Record<string, string>> = {
  date: "a date such as 2024-05-31",
  regex: "text of the right form",
};

function amount(origin: string, count: number): string {
  if (origin === "string") return count === 1 ? "one letter" : `${count} letters`;
  if (origin === "array") return count === 1 ? "one entry" : `${count} entries`;
  return String(count);
}

function oneOf(values: readonly unknown[]): string {
  const shown = values.map((value) => JSON.stringify(value));
  return shown.length === 1 ? (shown[0] ?? "") : `one of ${shown.join(", ")}`;
}

function at(input: unknown, path: readonly PropertyKey[]): unknown {
  let value = input;
  for (const step of path) value = (value as Record<PropertyKey, unknown> | null | undefined)?.[step];
  return value;
}

/** Fields that the schema would drop, and text that cannot be kept. */
function faultsWithin(schema: z.ZodType, input: unknown): Problem[] {
  const problems: Problem[] = [];
  const walk = (value: unknown, level: readonly JsonSchema[], path: readonly PropertyKey[]): void => {
    if (typeof value === "string") {
      if (unkeepable.test(value)) problems.push(unkeepableText(value, path));
    } else if (Array.isArray(value)) {
      const items = below(level, ({ items }) => items);
      // A list may hold a million numbers, and a number has nothing within.
      for (const [place, item] of value.entries())
        if (typeof item !== "number") walk(item, items, [...path, place]);
    } else if (typeof value === "object" && value !== null) {
      const fitting = level.filter((one) => fits(one, value));
      for (const [field, inside] of Object.entries(value)) {
        if (inside === undefined) continue;
        const next = below(fitting, (one) => fieldOf(one, field));
        if (next.length === 0 && fitting.length > 0)
          problems.push(unknownField([...path, field], knownFields(fitting)));
        else walk(inside, next, [...path, field]);
      }
    }
  };
  walk(input, alternatives(jsonSchemaOf(schema)), []);
  return problems;
}

/** NUL, and halves of surrogate pairs. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: the NUL is what is looked for
const unkeepable = /\u0000|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/;

function unkeepableText(text: string, path: readonly PropertyKey[]): Problem {
  return {
    code: "INPUT_FIELD",
    message: "The text holds a character that cannot be kept.",
    where: { field: fieldPath(path) },
    found: quoted(JSON.stringify(text)),
    expected: "text without NUL characters and without halves of characters",
  };
}

function unknownField(path: readonly PropertyKey[], known: readonly string[]): Problem {
  const name = String(path.at(-1));
  const meant = closestName(name, known);
  return {
    code: "INPUT_UNKNOWN",
    message: `There is no field "${name}" here.`,
    where: { field: fieldPath(path) },
    found: name,
    ...(known.length === 0 ? {} : { expected: oneOf(known) }),
    ...(meant === undefined ? {} : { wayOut: `Did you mean "${meant}"?` }),
  };
}

type JsonSchema = {
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly items?: JsonSchema;
  readonly anyOf?: readonly JsonSchema[];
  readonly oneOf?: readonly JsonSchema[];
  readonly additionalProperties?: JsonSchema | boolean;
  readonly const?: unknown;
};

const jsonSchemas = new WeakMap<z.ZodType, JsonSchema>();

function jsonSchemaOf(schema: z.ZodType): JsonSchema {
  const known = jsonSchemas.get(schema);
  if (known !== undefined) return known;
  const made = z.toJSONSchema(schema, {
    io: "input",
    unrepresentable: "any",
    reused: "inline",
  }) as JsonSchema;
  jsonSchemas.set(schema, made);
  return made;
}

/** A schema as the list of those that it lets choose from. */
function alternatives(schema: JsonSchema): JsonSchema[] {
  const choices = [...(schema.anyOf ?? []), ...(schema.oneOf ?? [])];
  return choices.length === 0 ? [schema] : choices.flatMap(alternatives);
}

function below(
  level: readonly JsonSchema[],
  step: (schema: JsonSchema) => JsonSchema | undefined,
): JsonSchema[] {
  return level.flatMap((one) => {
    const next = step(one);
    return next === undefined ? [] : alternatives(next);
  });
}

function fieldOf({ properties, additionalProperties }: JsonSchema, field: string): JsonSchema | undefined {
  if (properties !== undefined && Object.hasOwn(properties, field)) return properties[field];
  return typeof additionalProperties === "object" ? additionalProperties : undefined;
}

/** Whether an object can be meant by this alternative: what it fixes, such as a kind, is as it says. */
function fits({ properties, additionalProperties }: JsonSchema, value: object): boolean {
  if (properties === undefined) return additionalProperties !== undefined;
  return Object.entries(properties).every(
    ([field, { const: fixed }]) => fixed === undefined || (value as Record<string, unknown>)[field] === fixed,
  );
}

function knownFields(level: readonly JsonSchema[]): string[] {
  return [...new Set(level.flatMap(({ properties }) => Object.keys(properties ?? {})))];
}
