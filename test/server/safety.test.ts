import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gunzipSync, gzipSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { formOf, openTestServer, rampCsv, rampLayout } from "./helpers.ts";

// What keeps other pages, other names and other people's bytes out.

type Refusal = { problems: { code: string; message: string; found?: string }[] };

let server: Awaited<ReturnType<typeof openTestServer>>;
const webRoot = mkdtempSync(join(tmpdir(), "bitterend-web-"));
const packed = `export const words = "${"bury and taper ".repeat(200)}";`;
const bugs: string[] = [];

beforeAll(async () => {
  mkdirSync(join(webRoot, "chunks"));
  writeFileSync(join(webRoot, "index.html"), "<!doctype html><title>Bitter End</title>");
  writeFileSync(join(webRoot, "main.js"), "export {};");
  writeFileSync(join(webRoot, "chunks", "a-ABCDEFGH.js"), "export {};");
  writeFileSync(join(webRoot, "chunks", "b-ABCDEFGH.js"), packed);
  writeFileSync(join(webRoot, "chunks", "b-ABCDEFGH.js.gz"), gzipSync(packed));
  writeFileSync(join(webRoot, ".secret"), "no");
  server = await openTestServer({
    webRoot,
    allowedHosts: ["bench.lan", "proxy.example:8443"],
    maxRecordingBytes: 100_000,
    onBug: (error, asked) => bugs.push(`${asked}: ${String(error)}`),
  });
});
afterAll(async () => {
  await server.close();
});

function get(url: string, headers: Record<string, string> = {}) {
  return server.server.inject({ url, headers: { host: "localhost", ...headers } });
}

function post(url: string, body: unknown, headers: Record<string, string> = {}) {
  return server.server.inject({
    method: "POST",
    url,
    headers: { host: "localhost", "content-type": "application/json", ...headers },
    payload: typeof body === "string" ? body : JSON.stringify(body),
  });
}

/** The directives of a content security policy, each with its sources. */
function policyOf(answer: { headers: Record<string, unknown> }): Record<string, string> {
  const directives = String(answer.headers["content-security-policy"]).split(";");
  return Object.fromEntries(
    directives.map((directive) => {
      const [name = "", ...sources] = directive.trim().split(" ");
      return [name, sources.join(" ")];
    }),
  );
}

describe("the Host header", () => {
  test.each([
    "localhost",
    "LOCALHOST:80",
    "127.0.0.1",
    "[::1]",
    "bench.lan",
    "bench.lan:80",
    "proxy.example:8443",
  ])("%s is answered to", async (host) => {
    expect((await get("/api/health", { host })).statusCode).toBe(200);
  });

  test.each([
    "rebound.example",
    "localhost.rebound.example",
    "localhost:8080",
    "127.0.0.1.rebound.example",
    "bench.lan:81",
    "proxy.example",
    "localhost@rebound.example",
  ])("%j is not", async (host) => {
    for (const url of ["/api/health", "/", "/main.js", "/nowhere.js"]) {
      const answer = await get(url, { host });
      expect([answer.statusCode, answer.json<Refusal>().problems[0]?.code]).toEqual([421, "SERVER_HOST"]);
    }
  });
});

describe("a request that changes something", () => {
  const rope = { name: "Blue", nominalDiameterMm: 8 };

  test.each([
    { origin: "http://localhost" },
    { origin: "http://localhost", "sec-fetch-site": "same-origin" },
    { "sec-fetch-site": "none" },
    { host: "proxy.example:8443", origin: "https://proxy.example:8443" },
    {},
  ] as Record<string, string>[])("is taken from %j", async (headers) => {
    expect((await post("/api/records/rope", rope, headers)).statusCode).toBe(201);
  });

  test.each([
    { origin: "https://elsewhere.example" },
    { origin: "http://localhost:3000" },
    { origin: "null" },
    { origin: "http://localhost.elsewhere.example" },
    { "sec-fetch-site": "cross-site" },
    { "sec-fetch-site": "same-site" },
    { origin: "http://localhost", "sec-fetch-site": "cross-site" },
  ] as Record<string, string>[])("is refused from %j, and changes nothing", async (headers) => {
    const before = (await get("/api/records/rope")).json<{ value: unknown[] }>().value.length;
    const answer = await post("/api/records/rope", rope, headers);
    expect([answer.statusCode, answer.json<Refusal>().problems[0]?.code]).toEqual([403, "SERVER_ORIGIN"]);
    expect((await get("/api/records/rope")).json<{ value: unknown[] }>().value.length).toBe(before);
  });

  test("cannot be the plain form or text that any page may send", async () => {
    for (const type of ["text/plain", "application/x-www-form-urlencoded"]) {
      const answer = await post("/api/records/rope", JSON.stringify(rope), { "content-type": type });
      expect([answer.statusCode, answer.json<Refusal>().problems[0]?.code]).toEqual([
        415,
        "SERVER_MEDIA_TYPE",
      ]);
    }
  });
});

describe("security headers", () => {
  test.each(["/", "/main.js", "/api/health", "/api/nowhere", "/nowhere.js"])("stand on %s", async (url) => {
    const answer = await get(url);
    expect(policyOf(answer)).toEqual({
      "default-src": "'none'",
      "script-src": "'self'",
      "style-src": "'self'",
      "img-src": "'self' data: blob:",
      // A film of a pull, played from the user's own disk.
      "media-src": "blob:",
      "font-src": "'self'",
      "connect-src": "'self'",
      "worker-src": "'self'",
      "manifest-src": "'self'",
      "frame-src": "'self'",
      "form-action": "'none'",
      "base-uri": "'none'",
      "frame-ancestors": "'none'",
    });
    expect(answer.headers).toMatchObject({
      "x-content-type-options": "nosniff",
      "referrer-policy": "no-referrer",
      "cross-origin-opener-policy": "same-origin",
      "cross-origin-resource-policy": "same-origin",
      "x-frame-options": "DENY",
    });
    expect(answer.headers["strict-transport-security"]).toBeUndefined();
  });

  test("let a report be framed by this server alone, and run nothing", async () => {
    const series = (await post("/api/records/series", { title: "Framed" })).json<{ value: { id: string } }>()
      .value;
    const published = (await post(`/api/series/${series.id}/reports`, {})).json<{ value: { id: string } }>()
      .value;
    for (const url of [`/api/series/${series.id}/report`, `/reports/${published.id}`]) {
      const answer = await get(url);
      expect(answer.statusCode).toBe(200);
      expect(policyOf(answer)).toEqual({
        sandbox: "allow-downloads",
        "default-src": "'none'",
        "style-src": "'unsafe-inline'",
        "img-src": "data:",
        "form-action": "'none'",
        "base-uri": "'none'",
        "frame-ancestors": "'self'",
      });
      expect(answer.headers["x-frame-options"]).toBe("SAMEORIGIN");
      // A browser refuses to show a page that is sandboxed and sets an opener policy (HTML standard, creating
      // navigation params by fetching).
      expect(answer.headers["cross-origin-opener-policy"]).toBeUndefined();
    }
  });

  test("let the API's page have its own style and no other", async () => {
    const answer = await get("/api");
    expect(policyOf(answer)).toMatchObject({ "script-src": "'none'", "default-src": "'none'" });
    expect(policyOf(answer)["style-src"]).toMatch(/^'sha256-[\w+/=]{44}'$/);
    expect(answer.body).not.toMatch(/<script|style=|onclick/);
  });
});

describe("the web app's files", () => {
  test("change their name with their content where they are kept for good, and are asked for anew elsewhere", async () => {
    expect((await get("/chunks/a-ABCDEFGH.js")).headers["cache-control"]).toBe(
      "public, max-age=31536000, immutable",
    );
    for (const url of ["/", "/main.js", "/series/ser-1/judge"])
      expect((await get(url)).headers["cache-control"], url).toBe("no-cache");
    expect((await get("/api/health")).headers["cache-control"]).toBe("no-store");
  });

  test("go packed to whoever can unpack them, and as they are to all others", async () => {
    const url = "/chunks/b-ABCDEFGH.js";
    const small = await get(url, { "accept-encoding": "gzip, deflate, br" });
    expect(small.headers).toMatchObject({
      "content-encoding": "gzip",
      "content-type": (await get(url)).headers["content-type"],
      "cache-control": "public, max-age=31536000, immutable",
      vary: "accept-encoding",
    });
    expect(gunzipSync(small.rawPayload).toString()).toBe(packed);
    expect(small.rawPayload.length).toBeLessThan(packed.length / 10);
    for (const asked of [{}, { "accept-encoding": "identity" }]) {
      const plain = await get(url, asked);
      expect([plain.headers["content-encoding"], plain.body]).toEqual([undefined, packed]);
    }
    // What was not packed goes as it is, and the packed form has no address of its own.
    expect((await get("/main.js", { "accept-encoding": "gzip" })).body).toBe("export {};");
    expect((await get(`${url}.gz`)).statusCode).toBe(404);
  });

  test("are known by an ETag, and not sent again", async () => {
    const first = await get("/main.js");
    const again = await get("/main.js", { "if-none-match": String(first.headers["etag"]) });
    expect([again.statusCode, again.body]).toEqual([304, ""]);
  });

  test("answer for the app's own addresses with its page", async () => {
    for (const url of ["/", "/series/ser-1/tell", "/series/ser-1/pull/pul-2", "/bench-book", "/help?x=1"]) {
      const answer = await get(url);
      expect([answer.statusCode, answer.headers["content-type"]]).toEqual([200, "text/html; charset=utf-8"]);
      expect(answer.body).toContain("<title>Bitter End</title>");
    }
  });

  test.each([
    "/.secret",
    "/../package.json",
    "/%2e%2e/package.json",
    "/..%2fpackage.json",
    "/chunks/",
    "/nowhere.js",
  ])("do not reach to %s", async (url) => {
    const answer = await get(url);
    expect(answer.statusCode).toBeGreaterThanOrEqual(400);
    expect(answer.json<Refusal>().problems).toHaveLength(1);
  });

  test("are said to be missing where they are", async () => {
    const without = await openTestServer();
    const answer = await without.server.inject({ url: "/", headers: { host: "localhost" } });
    expect([answer.statusCode, answer.json<Refusal>().problems[0]?.code]).toEqual([
      503,
      "SERVER_WEB_MISSING",
    ]);
    await without.close();
  });
});

describe("every failure has the one shape", () => {
  const json = { "content-type": "application/json" };

  test.each([
    ["an unknown address", "GET", "/api/nowhere", undefined, {}, 404, "SERVER_NOT_FOUND"],
    ["an unknown kind of record", "GET", "/api/records/yacht", undefined, {}, 404, "SERVER_NOT_FOUND"],
    ["a missing record", "GET", "/api/records/rope/rop-nowhere", undefined, {}, 404, "BOOK_NOT_FOUND"],
    ["a missing report", "GET", "/reports/rep-nowhere", undefined, {}, 404, "BOOK_NOT_FOUND"],
    ["the wrong method", "DELETE", "/api/health", undefined, {}, 405, "SERVER_METHOD"],
    ["a method for a page of the app", "POST", "/help", undefined, {}, 404, "SERVER_NOT_FOUND"],
    ["broken JSON", "POST", "/api/records/rope", '{"name": ', json, 400, "INPUT_JSON"],
    ["no JSON", "POST", "/api/records/rope", "", json, 400, "INPUT_JSON"],
    [
      "JSON that reaches for a prototype",
      "POST",
      "/api/records/rope",
      '{"__proto__": {}}',
      json,
      400,
      "INPUT_JSON",
    ],
    ["JSON for a form", "POST", "/api/readings", "{}", json, 415, "SERVER_MEDIA_TYPE"],
    ["XML", "POST", "/api/records/rope", "<a/>", { "content-type": "text/xml" }, 415, "SERVER_MEDIA_TYPE"],
    [
      "a form without its boundary",
      "POST",
      "/api/readings",
      "x",
      { "content-type": "multipart/form-data" },
      400,
      "SERVER_UPLOAD",
    ],
    [
      "a query that is no number",
      "GET",
      `/api/recordings/${"0".repeat(64)}/trace?columns=many`,
      undefined,
      {},
      400,
      "INPUT_FIELD",
    ],
    ["an address that is none", "GET", "/api/%zz", undefined, {}, 400, "SERVER_REQUEST"],
    [
      "too much JSON",
      "POST",
      "/api/records/rope",
      `"${"x".repeat(5_000_000)}"`,
      json,
      413,
      "SERVER_TOO_LARGE",
    ],
  ] as const)("%s", async (_, method, url, payload, headers, status, code) => {
    const answer = await server.server.inject({
      method,
      url,
      headers: { host: "localhost", ...headers },
      ...(payload === undefined ? {} : { payload }),
    });
    expect(answer.headers["content-type"]).toBe("application/json; charset=utf-8");
    expect(answer.headers["x-content-type-options"]).toBe("nosniff");
    const body = answer.json<Refusal>();
    expect([answer.statusCode, body.problems[0]?.code]).toEqual([status, code]);
    expect(Object.keys(body)).toEqual(["problems"]);
    for (const problem of body.problems) expect(problem.message).toMatch(/\S/);
  });

  test("a wrong method names the right ones", async () => {
    const answer = await server.server.inject({
      method: "PATCH",
      url: "/api/records/rope",
      headers: { host: "localhost" },
    });
    expect(answer.headers["allow"]?.toString().split(", ").toSorted()).toEqual(["GET", "HEAD", "POST"]);
  });

  test("a file over the limit, and the file is not read to its end", async () => {
    const form = new Response(
      formOf({ layout: JSON.stringify(rampLayout) }, { name: "long.csv", bytes: rampCsv().repeat(100) }),
    );
    const answer = await server.server.inject({
      method: "POST",
      url: "/api/readings",
      headers: { host: "localhost", "content-type": form.headers.get("content-type") ?? "" },
      payload: Buffer.from(await form.arrayBuffer()),
    });
    expect([answer.statusCode, answer.json<Refusal>().problems[0]?.code]).toEqual([413, "SERVER_TOO_LARGE"]);
  });

  test("a fault of the program, which is told to its owner and not to the asker", async () => {
    const broken = await openTestServer({
      // A real application but for one use case, which breaks as a fault would.
      app: {
        ...server.app,
        reports: () => Promise.reject(new Error("the secret is in /home/kim/book.sqlite")),
      },
      onBug: (error, asked) => bugs.push(`${asked}: ${String(error)}`),
    });
    const answer = await broken.server.inject({ url: "/api/reports", headers: { host: "localhost" } });
    expect([answer.statusCode, answer.json<Refusal>().problems[0]?.code]).toEqual([500, "SERVER_BUG"]);
    expect(answer.body).not.toMatch(/secret|kim|Error|\.ts/);
    expect(bugs).toContain("GET /api/reports: Error: the secret is in /home/kim/book.sqlite");
    await broken.close();
  });
});
