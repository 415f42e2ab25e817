/** Anything that JSON can say. */
export type JsonValue =
  | null
  | boolean
  | number
  | string
  | readonly JsonValue[]
  | { readonly [key: string]: JsonValue };

/**
 * A value as canonical JSON: the same content always gives the same text, whatever the order in which it was put together.
 *
 * Keys in the order of their UTF-16 code units, no spaces, numbers as ECMAScript writes them. Fields that are undefined
 * are left out. Source: RFC 8785, JSON Canonicalization Scheme, sections 3.2.2 and 3.2.3.
 *
 * @example
 * canonicalJson({ b: [1, 2.5], a: "x" }) // '{"a":"x","b":[1,2.5]}'
 */
export function canonicalJson(value: unknown): string {
  return written(JSON.parse(JSON.stringify(value)) as JsonValue);
}

/** The value as JSON keeps it: undefined fields gone, minus zero a zero. */
export function plainJson(value: unknown): JsonValue {
  return JSON.parse(JSON.stringify(value)) as JsonValue;
}

/** More levels than anything of ours has; a deeper text is no table of ours, and walking it could end the program. */
const deepest = 64;

/** Reads JSON that somebody else wrote; undefined where it is none, or nested beyond reason. */
export function parseJson(text: string): JsonValue | undefined {
  let depth = 0;
  // Brackets within texts count as well: that only ever refuses what nobody writes.
  for (const mark of text.matchAll(/[[{\]}]/g)) {
    depth += mark[0] === "[" || mark[0] === "{" ? 1 : -1;
    if (depth > deepest) return undefined;
  }
  try {
    return JSON.parse(text) as JsonValue;
  } catch {
    return undefined;
  }
}

function written(value: JsonValue): string {
  if (Array.isArray(value)) return `[${value.map(written).join(",")}]`;
  if (typeof value === "object" && value !== null) {
    const fields = Object.entries(value as Readonly<Record<string, JsonValue>>).sort(([a], [b]) =>
      a < b ? -1 : 1,
    );
    return `{${fields.map(([key, held]) => `${JSON.stringify(key)}:${written(held)}`).join(",")}}`;
  }
  return JSON.stringify(value);
}
