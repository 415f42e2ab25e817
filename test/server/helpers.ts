import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { ValidateFunction } from "ajv";
import { Ajv2020 } from "ajv/dist/2020.js";
import type { FastifyInstance } from "fastify";
import { expect } from "vitest";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { buildServer, type ServerOptions } from "../../src/server/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";

/** The server over a real, empty book in memory. */
export async function openTestServer(options: Partial<ServerOptions> = {}) {
  const opened = await openSqliteBook(":memory:", { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));
  const webRoot = mkdtempSync(join(tmpdir(), "bitterend-web-"));
  const server = buildServer({ app, webRoot, version: "1.2.3", ...options });
  await server.ready();
  return {
    app: options.app ?? app,
    server,
    webRoot,
    close: async () => {
      await server.close();
      await opened.value.close();
      rmSync(webRoot, { recursive: true, force: true });
    },
  };
}

export type Method = "GET" | "PUT" | "POST" | "PATCH" | "DELETE";
type Schema = Record<string, unknown>;
type Document = {
  paths: Record<
    string,
    Record<string, { responses: Record<string, { content?: Record<string, { schema: Schema }> }> }>
  >;
  components: { schemas: Record<string, Schema> };
};

/**
 * Asks the server and holds each JSON answer to the schema that the OpenAPI document promises for it, checked by ajv,
 * which knows nothing of zod. `asked` gathers the operations that answered with success.
 */
export async function openAsking(server: FastifyInstance) {
  const document = (
    await server.inject({ url: "/api/openapi.json", headers: { host: "localhost" } })
  ).json<Document>();
  const ajv = new Ajv2020({ strict: false, validateFormats: false });
  ajv.addSchema({ $id: "api", components: document.components });
  const compiled = new Map<string, ValidateFunction>();
  const asked = new Set<string>();

  async function ask(
    method: Method,
    url: string,
    body?: unknown,
    headers: Record<string, string> = {},
  ): Promise<{
    status: number;
    body: unknown;
    text: string;
    bytes: Buffer;
    headers: Record<string, unknown>;
  }> {
    const payload = body === undefined ? undefined : await payloadOf(body);
    const answer = await server.inject({
      method,
      url,
      headers: { host: "localhost", ...payload?.headers, ...headers },
      ...(payload === undefined ? {} : { payload: payload.bytes }),
    });
    const isJson = String(answer.headers["content-type"]).startsWith("application/json");
    const said: unknown = isJson ? answer.json() : undefined;
    hold(method, url.split("?")[0] ?? url, answer.statusCode, said);
    return {
      status: answer.statusCode,
      body: said,
      text: answer.body,
      bytes: answer.rawPayload,
      headers: answer.headers,
    };
  }

  function hold(method: Method, path: string, status: number, said: unknown): void {
    const template = Object.keys(document.paths)
      .filter((candidate) => document.paths[candidate]?.[method.toLowerCase()] !== undefined)
      .sort((a, b) => a.split("{").length - b.split("{").length)
      .find((candidate) => new RegExp(`^${candidate.replace(/\{[^}]+\}/g, "[^/]+")}$`).test(path));
    const operation = template === undefined ? undefined : document.paths[template]?.[method.toLowerCase()];
    const response =
      operation?.responses[String(status)] ?? operation?.responses[`${Math.floor(status / 100)}XX`];
    if (operation === undefined || said === undefined) {
      if (status < 300) asked.add(`${method} ${template}`);
      return;
    }
    const schema = response?.content?.["application/json"]?.schema;
    expect(schema, `${method} ${path} answered ${status}, which its description does not know`).toBeDefined();
    const key = `${method} ${template} ${status}`;
    const validate = compiled.get(key) ?? ajv.compile(pointInto(schema ?? {}));
    compiled.set(key, validate);
    expect(validate(said) ? [] : validate.errors, `${key} against its schema`).toEqual([]);
    if (status < 300) asked.add(`${method} ${template}`);
  }

  return { ask, asked, document };
}

/** References in the document point into itself; ajv knows it under the name "api". */
function pointInto(schema: Schema): Schema {
  return JSON.parse(JSON.stringify(schema).replaceAll('"#/components/', '"api#/components/')) as Schema;
}

async function payloadOf(body: unknown): Promise<{ bytes: Buffer; headers: Record<string, string> }> {
  if (body instanceof FormData) {
    const form = new Response(body);
    return {
      bytes: Buffer.from(await form.arrayBuffer()),
      headers: { "content-type": form.headers.get("content-type") ?? "" },
    };
  }
  return { bytes: Buffer.from(JSON.stringify(body)), headers: { "content-type": "application/json" } };
}

export function formOf(
  fields: Record<string, string>,
  file?: { name: string; bytes: Uint8Array | string },
): FormData {
  const form = new FormData();
  for (const [name, value] of Object.entries(fields)) form.append(name, value);
  if (file !== undefined) form.append("file", new Blob([file.bytes as BlobPart]), file.name);
  return form;
}

/**
 * A logger's file with known truth: 3 s of rest at 0.05 kN, a ramp of 2 kN/s to 20.05 kN at 13 s, then nothing but rest.
 * Net peak 20 kN, rate 2000 N/s, by construction.
 */
export function rampCsv(peakKn = 20): string {
  const rows = ["Time (s);Force (kN)"];
  for (let i = 0; i <= 160; i++) {
    const t = i / 10;
    const force = t <= 3 ? 0 : t <= 13 ? ((t - 3) / 10) * peakKn : 0;
    rows.push(`${t.toFixed(1)};${(force + 0.05).toFixed(3)}`);
  }
  return `${rows.join("\n")}\n`;
}

/** What `rampCsv` is written in. */
export const rampLayout = {
  encoding: "utf-8",
  separator: ";",
  decimal: ".",
  preambleLines: 0,
  headerRow: true,
  unitRow: false,
  columnNames: ["Time (s)", "Force (kN)"],
  time: { kind: "column", column: 1, format: "elapsed-s" },
  force: { column: 2, unit: "kN", inverted: false },
};

/** A picture of one pixel: PNG by the specification's signature, header, data and end. */
export const onePixelPng = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==",
  "base64",
);
