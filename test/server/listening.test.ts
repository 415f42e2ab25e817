import { once } from "node:events";
import { connect, createServer, type Socket } from "node:net";
import { afterEach, describe, expect, test } from "vitest";
import type { App } from "../../src/app/mod.ts";
import { defaultPort, type RunningServer, startServer } from "../../src/server/mod.ts";
import { formOf, openTestServer, rampCsv, rampLayout } from "./helpers.ts";

// What only a real socket shows: ports, large and broken uploads, bytes that are no HTTP, closing.

type Refusal = { problems: { code: string }[] };

const opened: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of opened.splice(0).reverse()) await close();
});

async function start(
  listen: { port?: number; host?: string } = { port: 0 },
  change: (app: App) => App = (app) => app,
): Promise<RunningServer> {
  const { app, webRoot, close } = await openTestServer();
  opened.push(close);
  const started = await startServer(
    { app: change(app), webRoot, version: "1.2.3", maxRecordingBytes: 1_000_000 },
    listen,
  );
  if (!started.ok) throw new Error(JSON.stringify(started.problems));
  opened.push(() => started.value.close());
  return started.value;
}

async function occupy(port: number): Promise<boolean> {
  const other = createServer();
  other.listen(port, "127.0.0.1");
  try {
    await once(other, "listening");
  } catch {
    return false; // Taken already, by somebody else: as good.
  }
  opened.push(() => new Promise((resolve) => other.close(resolve)));
  return true;
}

/** Sends bytes and gives back all that the server says until it closes the connection. */
async function say(port: number, bytes: string): Promise<string> {
  const socket: Socket = connect(port, "127.0.0.1");
  let said = "";
  socket.on("data", (chunk: Buffer) => {
    said += chunk.toString("latin1");
  });
  socket.write(bytes);
  await once(socket, "close");
  return said;
}

describe("the port", () => {
  test("is the next free one where the default is taken", async () => {
    await occupy(defaultPort);
    const server = await start({});
    expect(server.port).toBeGreaterThan(defaultPort);
    expect(server.port).toBeLessThan(defaultPort + 100);
    expect((await fetch(`${server.url}api/health`)).status).toBe(200);
  });

  test("is refused where it was asked for and is taken", async () => {
    const first = await start();
    const { app, webRoot, close } = await openTestServer();
    opened.push(close);
    const second = await startServer({ app, webRoot, version: "1" }, { port: first.port });
    expect(second).toMatchObject({
      ok: false,
      problems: [{ code: "SERVER_PORT", found: `127.0.0.1:${first.port}` }],
    });
  });

  test("is refused on an address that this computer does not have", async () => {
    const { app, webRoot, close } = await openTestServer();
    opened.push(close);
    // 192.0.2.1 is kept for documentation (RFC 5737) and is nobody's address.
    const started = await startServer({ app, webRoot, version: "1" }, { port: 0, host: "192.0.2.1" });
    expect(started).toMatchObject({ ok: false, problems: [{ code: "SERVER_PORT" }] });
  });

  test("belongs to the Host header: the same name with another port is somebody else", async () => {
    const server = await start();
    const right = await say(
      server.port,
      `GET /api/health HTTP/1.1\r\nHost: localhost:${server.port}\r\nConnection: close\r\n\r\n`,
    );
    expect(right).toMatch(/^HTTP\/1\.1 200 /);
    const wrong = await say(
      server.port,
      `GET /api/health HTTP/1.1\r\nHost: localhost:${server.port + 1}\r\nConnection: close\r\n\r\n`,
    );
    expect(wrong).toMatch(/^HTTP\/1\.1 421 /);
    expect(wrong).toContain("SERVER_HOST");
  });

  test("is not open to other computers", async () => {
    const server = await start({ port: 0 });
    expect(server.url).toBe(`http://127.0.0.1:${server.port}/`);
    const ipv6 = connect(server.port, "::1");
    const [error] = (await once(ipv6, "error")) as [NodeJS.ErrnoException];
    expect(["ECONNREFUSED", "EADDRNOTAVAIL", "EAFNOSUPPORT"]).toContain(error.code);
  });
});

describe("bytes that are no request", () => {
  test.each([
    ["no HTTP", "this is no HTTP\r\n\r\n", 400, "SERVER_REQUEST"],
    [
      "headers without end",
      `GET / HTTP/1.1\r\nHost: localhost\r\nX: ${"x".repeat(20_000)}\r\n\r\n`,
      431,
      "SERVER_REQUEST",
    ],
    ["no Host header", "GET / HTTP/1.1\r\nConnection: close\r\n\r\n", 421, "SERVER_HOST"],
  ])("%s: the failure has the one shape all the same", async (_, bytes, status, code) => {
    const server = await start();
    const said = await say(server.port, bytes);
    expect(said).toMatch(new RegExp(`^HTTP/1\\.1 ${status} `));
    const body = JSON.parse(said.slice(said.indexOf("\r\n\r\n") + 4)) as Refusal;
    expect(body.problems[0]?.code).toBe(code);
  });
});

describe("an upload", () => {
  test("that is announced as too large is refused before it is sent", async () => {
    const server = await start();
    const socket = connect(server.port, "127.0.0.1");
    socket.write(
      `POST /api/readings HTTP/1.1\r\nHost: localhost:${server.port}\r\n` +
        "Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 3000000000\r\n\r\n",
    );
    const [answer] = (await once(socket, "data")) as [Buffer];
    expect(answer.toString()).toMatch(/^HTTP\/1\.1 413 /);
    expect(answer.toString()).toContain("SERVER_TOO_LARGE");
    socket.destroy();
  });

  test("that turns out too large is refused when it passes the limit, and the sender gets to read that", async () => {
    const server = await start();
    // 40 MB of which 1 MB may be kept; sent in pieces whose sum nobody was told.
    const piece = new TextEncoder().encode("1.0;0.050\n".repeat(10_000));
    let sent = 0;
    const body = new ReadableStream<Uint8Array>({
      start: (stream) =>
        stream.enqueue(
          new TextEncoder().encode(
            '--x\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\n' +
              "Content-Type: application/octet-stream\r\n\r\n",
          ),
        ),
      pull: (stream) => {
        sent += piece.length;
        if (sent > 40_000_000) {
          stream.enqueue(new TextEncoder().encode("\r\n--x--\r\n"));
          stream.close();
        } else stream.enqueue(piece);
      },
    });
    const before = process.memoryUsage().arrayBuffers;
    const answer = await fetch(`${server.url}api/readings`, {
      method: "POST",
      headers: { "content-type": "multipart/form-data; boundary=x" },
      body,
      duplex: "half",
    } as RequestInit);
    expect(answer.status).toBe(413);
    expect(((await answer.json()) as Refusal).problems[0]?.code).toBe("SERVER_TOO_LARGE");
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(20_000_000);
  });

  test("whose sender goes away stops the work for it", async () => {
    let stopped: (() => void) | undefined;
    const wasStopped = new Promise<void>((resolve) => {
      stopped = resolve;
    });
    let began: (() => void) | undefined;
    const hasBegun = new Promise<void>((resolve) => {
      began = resolve;
    });
    // A reading that takes until it is stopped: what the signal is for.
    const server = await start({ port: 0 }, (app) => ({
      ...app,
      readFile: (_bytes, _layout, signal) =>
        new Promise((resolve) => {
          began?.();
          signal?.addEventListener("abort", () => {
            stopped?.();
            resolve({ ok: false, problems: [{ code: "TRACE_STOPPED", message: "Stopped." }] });
          });
        }),
    }));
    const leaving = new AbortController();
    const asked = fetch(`${server.url}api/readings`, {
      method: "POST",
      body: formOf({ layout: JSON.stringify(rampLayout) }, { name: "a.csv", bytes: rampCsv() }),
      signal: leaving.signal,
    });
    await hasBegun;
    leaving.abort();
    await expect(asked).rejects.toThrow();
    await wasStopped;
  });

  test("that was read to its end is not taken for one whose sender went away", async () => {
    const server = await start();
    const answer = await fetch(`${server.url}api/readings`, {
      method: "POST",
      body: formOf({ layout: JSON.stringify(rampLayout) }, { name: "a.csv", bytes: rampCsv() }),
    });
    expect(answer.status, await answer.clone().text()).toBe(200);
  });
});

describe("closing", () => {
  test("waits for answers under way and then takes no more", async () => {
    let finish: (() => void) | undefined;
    let began: (() => void) | undefined;
    const hasBegun = new Promise<void>((resolve) => {
      began = resolve;
    });
    const server = await start({ port: 0 }, (app) => ({
      ...app,
      reports: () =>
        new Promise((resolve) => {
          finish = () => resolve([]);
          began?.();
        }),
    }));
    const asked = fetch(`${server.url}api/reports`);
    await hasBegun;
    const closed = server.close();
    finish?.();
    expect((await asked).status).toBe(200);
    await closed;
    await expect(fetch(`${server.url}api/health`)).rejects.toThrow();
  });
});
