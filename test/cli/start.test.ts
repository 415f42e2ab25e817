import { once } from "node:events";
import { existsSync, mkdirSync, rmSync, writeFileSync } from "node:fs";
import { connect, createServer } from "node:net";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, test } from "vitest";
import { slowness } from "../slowness.ts";
import { bundleCli, makeFolder, runCli, startCli } from "./run.ts";

// `bitterend start` as a process: ready, with the demo, until it is told to stop.

const cli = bundleCli();
const folder = makeFolder();
const running: ReturnType<typeof startCli>[] = [];
afterEach(() => {
  for (const child of running.splice(0)) child.kill("SIGKILL");
});
afterAll(() => cli.remove());

/** Starts the program and waits for the address that it prints. */
async function start(args: string[], env: Record<string, string> = {}) {
  const began = performance.now();
  const child = startCli(cli.script, ["start", ...args], { env });
  running.push(child);
  let out = "";
  let err = "";
  child.stderr?.setEncoding("utf8").on("data", (text: string) => {
    err += text;
  });
  const url = await new Promise<string>((resolve, reject) => {
    child.stdout?.setEncoding("utf8").on("data", (text: string) => {
      out += text;
      const found = /http:\/\/[^\s"]+\//.exec(out)?.[0];
      if (found !== undefined && /[}C]\n?$/.test(out)) resolve(found);
    });
    child.on("close", (code) => reject(new Error(`ended with ${code}: ${err}`)));
  });
  const readyMs = performance.now() - began;
  return {
    url,
    readyMs,
    said: () => ({ out, err }),
    stop: async (signal: NodeJS.Signals) => {
      const closed = once(child, "close");
      child.kill(signal);
      const [code] = (await closed) as [number | null];
      return code;
    },
  };
}

type Started = Awaited<ReturnType<typeof start>>;
type SeriesList = { value: { id: string; simulated: boolean }[] };

describe("a first start", () => {
  test("makes the book, loads the demo, says where both are, and is ready in under 2 s", async () => {
    // The best of three.
    const limitMs = 2000 * slowness();
    let book = "";
    let server: Started | undefined;
    for (let attempt = 1; attempt <= 3 && !(server !== undefined && server.readyMs < limitMs); attempt++) {
      await server?.stop("SIGTERM");
      book = join(folder.path, "new", `book-${attempt}.sqlite`);
      server = await start(["--port", "0"], { BITTEREND_BOOK: book });
    }
    if (server === undefined) throw new Error("Nothing was started.");
    expect(server.readyMs).toBeLessThan(limitMs);
    expect(server.said().out).toContain(book);
    expect(server.said().out).toContain("simulated demo series");
    const { value } = (await (await fetch(`${server.url}api/records/series`)).json()) as SeriesList;
    // The splices of the loft, and the loops of its raft.
    expect(value.map(({ simulated }) => simulated)).toEqual([true, true]);
    const health = (await (await fetch(`${server.url}api/health`)).json()) as { value: object };
    expect(health.value).toEqual({ program: "bitterend", version: "1.2.3", book: { kind: "sqlite" } });
    expect(await server.stop("SIGTERM")).toBe(0);

    const again = await start(["--port", "0", "--json"], { BITTEREND_BOOK: book });
    expect(JSON.parse(again.said().out)).toEqual({
      url: again.url,
      book,
      demoLoaded: false,
      webAppIsThere: false,
    });
    const listed = (await (await fetch(`${again.url}api/records/series`)).json()) as SeriesList;
    expect(listed.value).toEqual(value);
    expect(await again.stop("SIGINT")).toBe(0);
  });

  test("without a name for the book makes it among the user's data", async () => {
    const data = join(folder.path, "data");
    const server = await start(["--port", "0"], { XDG_DATA_HOME: data, HOME: folder.path, APPDATA: data });
    const book =
      process.platform === "darwin"
        ? join(folder.path, "Library", "Application Support", "bitterend", "book.sqlite")
        : join(data, "bitterend", "book.sqlite");
    expect(existsSync(book)).toBe(true);
    await server.stop("SIGTERM");
  });
});

describe("the pages", () => {
  test("are served where they lie beside the program, and said to be missing where they do not", async () => {
    const book = join(folder.path, "pages.sqlite");
    const without = await start(["--port", "0", "--book", book]);
    await expect.poll(() => without.said().err).toContain("[SERVER_WEB_MISSING]");
    expect((await fetch(without.url)).status).toBe(503);
    await without.stop("SIGTERM");

    mkdirSync(cli.webRoot, { recursive: true });
    writeFileSync(join(cli.webRoot, "index.html"), "<!doctype html><title>Bitter End</title>");
    const served = await start(["--port", "0", "--book", book]);
    expect(served.said().err).toBe("");
    expect(await (await fetch(`${served.url}series/x/judge`)).text()).toContain("<title>Bitter End</title>");
    await served.stop("SIGTERM");
    rmSync(cli.webRoot, { recursive: true });
  });
});

describe("hosts", () => {
  test("that were allowed are answered to, others are not", async () => {
    const book = join(folder.path, "hosts.sqlite");
    const server = await start(["--port", "0", "--book", book, "--allow-host", "bench.lan", "loft.lan"]);
    const { port } = new URL(server.url);
    for (const [host, status] of [
      [`localhost:${port}`, 200],
      [`loft.lan:${port}`, 200],
      ["elsewhere.example", 421],
    ] as const)
      expect(await statusFor(Number(port), host)).toBe(status);
    await server.stop("SIGTERM");
  });
});

describe("what cannot be started exits with 1", () => {
  test("a port that is taken", async () => {
    const other = createServer().listen(0, "127.0.0.1");
    await once(other, "listening");
    const { port } = other.address() as { port: number };
    const book = join(folder.path, "port.sqlite");
    const { code, out, err } = await runCli(cli.script, ["start", "--port", String(port), "--book", book]);
    expect([code, out]).toEqual([1, ""]);
    expect(err).toMatch(/^Cannot start\n[\s\S]*--port[\s\S]*\[SERVER_PORT\]\n$/);
    other.close();
  });

  test("a book that is none", async () => {
    const file = folder.write("no-book.sqlite", "This is a text, and a long one. ".repeat(300));
    const { code, json } = await runCli(cli.script, ["start", "--book", file, "--json"]);
    expect([code, json<{ problems: { code: string }[] }>().problems[0]?.code]).toEqual([
      1,
      "BOOK_NOT_A_BOOK",
    ]);
  });
});

/** The status for a Host header that fetch would not send. */
async function statusFor(port: number, host: string): Promise<number> {
  const socket = connect(port, "127.0.0.1");
  socket.write(`GET /api/health HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);
  let said = "";
  for await (const chunk of socket) said += String(chunk);
  return Number(said.split(" ")[1]);
}
