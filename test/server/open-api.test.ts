import { Ajv2020 } from "ajv/dist/2020.js";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { calculations, recordKindNames } from "../../src/app/mod.ts";
import { openTestServer } from "./helpers.ts";

// The document against the OpenAPI specification, version 3.1.0 (its sections "Schema" and "Data Types"): the rules are
// written out here, and schemas are judged by ajv with the meta-schema of JSON Schema 2020-12, which 3.1 is based on.

type Dict = Record<string, unknown>;
type Operation = {
  tags: string[];
  summary: string;
  parameters?: { name: string; in: string; required?: boolean; schema: Dict }[];
  requestBody?: { content: Record<string, { schema: Dict }> };
  responses: Record<string, { description: string; content?: Record<string, { schema: Dict }> }>;
};
type Document = {
  openapi: string;
  info: { title: string; version: string; license: Dict };
  tags: { name: string }[];
  servers: { url: string }[];
  paths: Record<string, Record<string, Operation>>;
  components: { schemas: Record<string, Dict> };
};

let server: Awaited<ReturnType<typeof openTestServer>>;
let document: Document;
let text: string;

beforeAll(async () => {
  server = await openTestServer();
  text = (await server.server.inject({ url: "/api/openapi.json", headers: { host: "localhost" } })).body;
  document = JSON.parse(text) as Document;
});
afterAll(() => server.close());

const operations = () =>
  Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ path, method, operation })),
  );
const schemas = () => [
  ...Object.values(document.components.schemas),
  ...operations().flatMap(({ operation }) => [
    ...(operation.parameters ?? []).map(({ schema }) => schema),
    ...[operation.requestBody, ...Object.values(operation.responses)].flatMap((body) =>
      Object.values(body?.content ?? {}).map(({ schema }) => schema),
    ),
  ]),
];

test("covers every address of the API", () => {
  const records = recordKindNames.flatMap((kind) => [
    `get /api/records/${kind}`,
    `post /api/records/${kind}`,
    `get /api/records/${kind}/{id}`,
    `patch /api/records/${kind}/{id}`,
    `delete /api/records/${kind}/{id}`,
  ]);
  const others = [
    "get /api/series/{id}/overview",
    "get /api/series/{id}/figures",
    "get /api/series/{id}/figures/{kind}",
    "get /api/series/{id}/findings",
    "get /api/series/{id}/slip-or-break",
    "get /api/series/{id}/report",
    "post /api/series/{id}/reports",
    "get /api/reports",
    "get /api/built-in-recipes",
    "get /api/recipes/{id}/versions",
    "get /api/learned-numbers",
    "get /api/spools",
    "get /api/series/{id}/recipes",
    "get /api/series/{id}/cut-sheet",
    "get /series/{id}/cut-sheet",
    "post /api/series/{id}/nesting",
    "post /api/series/{id}/plan",
    "post /api/series/{id}/planned-specimens",
    "get /api/rigs/{id}/assessment",
    "get /api/cells-for-use",
    "post /api/connector-choices",
    "get /reports/{id}",
    "get /api/reports/{id}/bundle",
    "get /api/series/{id}/bundle",
    "post /api/bundles",
    "post /api/bundles/verification",
    "post /api/reports/{id}/withdrawal",
    "get /api/series/{id}/completeness",
    "get /api/series/{id}/tables.xlsx",
    "get /pulls/{id}/record",
    "get /api/pulls/{id}/captions.vtt",
    "get /api/pulls/{id}/film",
    "post /api/layout-proposals",
    "post /api/readings",
    "post /api/recordings",
    "get /api/recordings/{sha256}",
    "delete /api/recordings/{sha256}",
    "get /api/recordings/{sha256}/bytes",
    "get /api/recordings/{sha256}/trace",
    "get /api/pulls/{id}",
    "patch /api/pulls",
    "post /api/pulls/{id}/overrides",
    "delete /api/pulls/{id}/overrides/{number}",
    "post /api/recordings/{sha256}/pulls",
    "put /api/recordings/{sha256}/layout",
    "post /api/reread",
    "post /api/calibration-points",
    "post /api/pictures",
    "get /api/pictures/{id}/bytes",
    "delete /api/pictures/{id}",
    "get /api/calc",
    ...calculations.map(({ name }) => `post /api/calc/${name}`),
    "get /api/health",
    "get /api/openapi.json",
    "get /api",
  ];
  expect(
    operations()
      .map(({ method, path }) => `${method} ${path}`)
      .toSorted(),
  ).toEqual([...records, ...others].toSorted());
});

describe("the document", () => {
  test("says which version it keeps to, what it is and under which licence", () => {
    expect(document.openapi).toMatch(/^3\.1\.\d+$/);
    expect(document.info).toMatchObject({ title: "Bitter End", version: "1.2.3" });
    // "The identifier field is mutually exclusive of the url field."
    expect(document.info.license).toEqual({ name: "MIT", identifier: "MIT" });
    expect(document.servers).toEqual([{ url: "/" }]);
  });

  test("has only fields that the specification knows", () => {
    const known: [string, object[], string[]][] = [
      ["OpenAPI", [document], ["openapi", "info", "servers", "paths", "components", "tags"]],
      ["Path Item", Object.values(document.paths), ["get", "put", "post", "patch", "delete"]],
      [
        "Operation",
        operations().map(({ operation }) => operation),
        ["tags", "summary", "description", "operationId", "parameters", "requestBody", "responses"],
      ],
      [
        "Parameter",
        operations().flatMap(({ operation }) => operation.parameters ?? []),
        ["name", "in", "description", "required", "schema"],
      ],
      [
        "Request Body",
        operations().flatMap(({ operation }) =>
          operation.requestBody === undefined ? [] : [operation.requestBody],
        ),
        ["content", "description", "required"],
      ],
      [
        "Response",
        operations().flatMap(({ operation }) => Object.values(operation.responses)),
        ["description", "content"],
      ],
    ];
    for (const [object, found, fields] of known) {
      const others = found.flatMap((one) => Object.keys(one)).filter((field) => !fields.includes(field));
      expect([object, ...new Set(others)]).toEqual([object]);
    }
  });

  test("declares the parameters of each path, all of them and as required", () => {
    for (const { path, method, operation } of operations()) {
      const inPath = [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name);
      const declared = (operation.parameters ?? []).filter((parameter) => parameter.in === "path");
      expect(
        declared.map(({ name }) => name),
        `${method} ${path}`,
      ).toEqual(inPath);
      for (const parameter of operation.parameters ?? []) {
        expect(["path", "query"]).toContain(parameter.in);
        if (parameter.in === "path") expect(parameter.required).toBe(true);
      }
    }
  });

  test("describes success and failure of each operation, under a tag that it lists", () => {
    const tags = document.tags.map(({ name }) => name);
    for (const { path, method, operation } of operations()) {
      const statuses = Object.keys(operation.responses);
      for (const status of statuses) expect(status).toMatch(/^[1-5](\d\d|XX)$/);
      expect(
        statuses.some((status) => status.startsWith("2")),
        `${method} ${path}`,
      ).toBe(true);
      for (const failure of ["4XX", "5XX"])
        expect(operation.responses[failure]?.content?.["application/json"]?.schema).toEqual({
          $ref: "#/components/schemas/Problems",
        });
      for (const { description } of Object.values(operation.responses)) expect(description).toMatch(/\S/);
      for (const tag of operation.tags) expect(tags).toContain(tag);
      expect(operation.summary).toMatch(/\S/);
    }
  });

  test("says of files that they come as forms", () => {
    for (const path of ["/api/readings", "/api/recordings", "/api/layout-proposals", "/api/pictures"]) {
      const content = document.paths[path]?.["post"]?.requestBody?.content ?? {};
      expect(Object.keys(content)).toEqual(["multipart/form-data"]);
      expect(content["multipart/form-data"]?.schema["properties"]).toHaveProperty("file");
    }
  });
});

describe("its schemas", () => {
  test("are schemas of JSON Schema 2020-12, and can be compiled", () => {
    const ajv = new Ajv2020({ strict: false, validateFormats: false });
    ajv.addSchema({ $id: "api", components: document.components });
    expect(schemas().length).toBeGreaterThan(100);
    for (const schema of schemas()) {
      expect(ajv.validateSchema(schema), JSON.stringify(ajv.errors)).toBe(true);
      const pointed = JSON.parse(
        JSON.stringify(schema).replaceAll('"#/components/', '"api#/components/'),
      ) as Dict;
      expect(() => ajv.compile(pointed)).not.toThrow();
    }
  });

  test("refer to nothing that is not there, and none is idle", () => {
    const named = Object.keys(document.components.schemas);
    const referred = new Set(
      [...text.matchAll(/"#\/components\/schemas\/([^"]+)"/g)].map(([, name]) => name),
    );
    expect([...referred].toSorted()).toEqual(named.toSorted());
    for (const name of named) expect(name).toMatch(/^[a-zA-Z0-9._-]+$/);
  });
});

test("the page made from it is whole, and text in it is text", async () => {
  const page = (await server.server.inject({ url: "/api", headers: { host: "localhost" } })).body;
  for (const { method, path } of operations())
    expect(page).toContain(`<h3>${method.toUpperCase()} ${path}</h3>`);
  for (const name of Object.keys(document.components.schemas))
    expect(page).toContain(`<details id="${name}">`);
  // What links lead to is there.
  for (const [, name] of page.matchAll(/href="#([^"]+)"/g)) expect(page).toContain(`id="${name}"`);
});
