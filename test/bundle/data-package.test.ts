import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { Ajv } from "ajv";
import addFormats from "ajv-formats";
import { unzipSync } from "fflate";
import { beforeAll, describe, expect, it } from "vitest";
import { valueIn } from "../app/open-app.ts";
import { bookOf, fullSeries, textIn } from "./books.ts";

// The bundle against the published standard, Data Package 2.0: its JSON Schema (data-package-2.0.json says where it is from),
// and its rules for tables, which no JSON Schema can see, by a second reader that knows nothing of ours.

const here = dirname(fileURLToPath(import.meta.url));
const ajv = new Ajv({ strict: false });
addFormats.default(ajv);
const isPackage = ajv.compile(JSON.parse(readFileSync(join(here, "data-package-2.0.json"), "utf8")));

type Field = {
  name: string;
  type: string;
  constraints?: { required?: boolean; enum?: string[] };
};
type Resource = {
  name: string;
  path: string;
  schema?: {
    fields: Field[];
    primaryKey: string[];
    foreignKeys?: { fields: string[]; reference: { resource: string; fields: string[] } }[];
  };
};

let descriptor: { resources: Resource[] } & Record<string, unknown>;
let tables: Map<string, Record<string, string>[]>;
let paths: string[];
beforeAll(async () => {
  const app = await bookOf("ours");
  const series = await fullSeries(app, { peaksKn: [2.4, 2.6, 2.5, 2.9, 2.8, 2.7] });
  const published = valueIn(await app.publishReport(series.id));
  const { bytes } = valueIn(await app.bundleOfReport(published.id));
  descriptor = JSON.parse(textIn(bytes, "datapackage.json"));
  paths = Object.keys(unzipSync(bytes));
  tables = new Map(
    descriptor.resources.flatMap(({ name, path, schema }) =>
      schema === undefined ? [] : [[name, rowsOf(textIn(bytes, path))] as const],
    ),
  );
});

/** A naive reader of RFC 4180. */
function rowsOf(text: string): Record<string, string>[] {
  const cells = [...text.matchAll(/(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/g)];
  const lines: string[][] = [[]];
  for (const [, quoted, bare = "", end] of cells) {
    lines.at(-1)?.push(quoted === undefined ? bare : quoted.replaceAll('""', '"'));
    if (end === "\r\n") lines.push([]);
  }
  const [header = [], ...body] = lines.slice(0, -1);
  return body.map((line) => Object.fromEntries(header.map((name, index) => [name, line[index] ?? ""])));
}

describe("the bundle by Data Package 2.0", () => {
  it("fits the published schema", () => {
    expect(isPackage(descriptor) ? [] : isPackage.errors).toEqual([]);
  });

  it.each([
    ["no resources", (one: typeof descriptor) => delete (one as { resources?: unknown }).resources],
    ["a resource without a name", (one) => delete (one.resources[0] as { name?: string }).name],
    ["a path that leads out", (one) => Object.assign(one.resources[0] ?? {}, { path: "../x.csv" })],
    ["a hash that is none", (one) => Object.assign(one.resources[0] ?? {}, { hash: "abc" })],
    ["a field of no known type", (one) => Object.assign(fieldOf(one), { type: "newtons" })],
    ["a date that is none", (one) => Object.assign(one, { created: "yesterday" })],
  ] satisfies [string, (one: typeof descriptor) => unknown][])(
    "is judged by a schema that refuses %s",
    (_, spoil) => {
      const spoilt = structuredClone(descriptor);
      spoil(spoilt);
      expect(isPackage(spoilt)).toBe(false);
    },
  );

  it("describes each file once, and names tables the trade’s way", () => {
    expect(descriptor.resources.map(({ path }) => path).sort()).toEqual(
      paths.filter((path) => path !== "datapackage.json").sort(),
    );
    expect([...tables.keys()]).toEqual(expect.arrayContaining(["specimens", "pulls", "ropes", "readings"]));
  });

  it("has tables that hold what their schemas say: types, required cells, choices, keys", () => {
    for (const { name, schema } of descriptor.resources) {
      if (schema === undefined) continue;
      const rows = tables.get(name) ?? [];
      for (const row of rows) {
        expect(Object.keys(row)).toEqual(schema.fields.map((field) => field.name));
        for (const field of schema.fields) {
          const cell = row[field.name] ?? "";
          const where = `${name}.${field.name}: ${cell}`;
          if (cell === "") expect(field.constraints?.required, where).not.toBe(true);
          else {
            expect(isOf(field.type, cell), where).toBe(true);
            if (field.constraints?.enum !== undefined) expect(field.constraints.enum, where).toContain(cell);
          }
        }
      }
      const keys = rows.map((row) => schema.primaryKey.map((key) => row[key]).join(" "));
      expect(new Set(keys).size, name).toBe(rows.length);
      for (const { fields, reference } of schema.foreignKeys ?? []) {
        const targets = new Set(tables.get(reference.resource)?.map((row) => row[reference.fields[0] ?? ""]));
        for (const row of rows) {
          const cell = row[fields[0] ?? ""] ?? "";
          if (cell !== "") expect(targets.has(cell), `${name}.${fields[0]}: ${cell}`).toBe(true);
        }
      }
    }
    expect(tables.get("pulls")).toHaveLength(7);
    expect(tables.get("recipes")).toHaveLength(2);
  });

  it("lets no text through that a spreadsheet would run, and keeps numbers numbers", () => {
    for (const [name, rows] of tables)
      for (const row of rows)
        for (const [column, cell] of Object.entries(row))
          if (!/^-?\d+(\.\d+)?(e[+-]?\d+)?$/.test(cell))
            expect(cell, `${name}.${column}`).not.toMatch(/^\s*[=+\-@\t\r\n]/);
    expect(tables.get("ropes")?.[0]?.["name"]).toBe("'=SUM(A1) line");
    expect(tables.get("pulls")?.[6]?.["typed_peak_n"]).toBe("26100.5");
  });
});

function fieldOf(one: { resources: Resource[] }): object {
  return one.resources.find(({ schema }) => schema !== undefined)?.schema?.fields[0] ?? {};
}

/** The lexical forms of Table Schema 2.0. */
function isOf(type: string, cell: string): boolean {
  switch (type) {
    case "number":
      return /^-?\d+(\.\d+)?([eE][+-]?\d+)?$/.test(cell);
    case "integer":
      return /^-?\d+$/.test(cell);
    case "boolean":
      return cell === "true" || cell === "false";
    case "date":
      return /^\d{4}-\d{2}-\d{2}$/.test(cell);
    case "object":
      return !Array.isArray(JSON.parse(cell)) && typeof JSON.parse(cell) === "object";
    case "array":
      return Array.isArray(JSON.parse(cell));
    default:
      return type === "string";
  }
}
