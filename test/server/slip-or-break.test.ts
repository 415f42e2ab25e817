import { afterAll, beforeAll, expect, test } from "vitest";
import type { App } from "../../src/app/mod.ts";
import { startServer } from "../../src/server/mod.ts";
import { addBurySeries } from "../app/bury-series.ts";
import { openAsking, openTestServer } from "./helpers.ts";

let server: Awaited<ReturnType<typeof openTestServer>>;
let asking: Awaited<ReturnType<typeof openAsking>>;
let path: string;

beforeAll(async () => {
  server = await openTestServer();
  asking = await openAsking(server.server);
  const { seriesId } = await addBurySeries(server.app);
  path = `/api/series/${seriesId}/slip-or-break`;
});
afterAll(() => server.close());

type Answer = { value: { asked: object; answer: { length: { chance: number; upper: number } } } };

test("answers what was asked, as its description says", async () => {
  const { status, body } = await asking.ask("GET", `${path}?chance=0.01&confidence=0.9&refits=200&seed=7`);
  expect(status).toBe(200);
  expect((body as Answer).value.asked).toEqual({
    chance: 0.01,
    confidence: 0.9,
    growth: "auto",
    refits: 200,
    seed: 7,
  });
  const longer = (body as Answer).value.answer.length.upper;
  const again = await asking.ask("GET", `${path}?chance=0.1&confidence=0.9&refits=200&seed=7`);
  // What slips less often is longer, whatever the pulls.
  expect(longer).toBeGreaterThan((again.body as Answer).value.answer.length.upper);
});

test("refuses a chance that is none, a law that is none, and a series that is not there", async () => {
  for (const query of ["chance=often", "chance=0.9", "growth=sideways", "seed=-1"])
    expect((await asking.ask("GET", `${path}?${query}`)).status).toBe(400);
  expect((await asking.ask("GET", "/api/series/ser-nowhere/slip-or-break")).status).toBe(404);
});

test("tells its progress as events to who wants them, and then the answer", async () => {
  const { text, headers } = await asking.ask("GET", `${path}?refits=400&seed=8`, undefined, {
    accept: "text/event-stream",
  });
  expect(headers["content-type"]).toContain("text/event-stream");
  const events = text
    .trim()
    .split("\n\n")
    .map((event) => {
      const [, name = "", data = ""] = /^event: (\w+)\ndata: (.*)$/.exec(event) ?? [];
      return { name, data: JSON.parse(data) as { done?: number } };
    });
  expect(events.map(({ name }) => name)).toEqual([
    ...Array.from({ length: events.length - 1 }, () => "progress"),
    "answer",
  ]);
  expect(events.at(-2)?.data.done).toBe(1);
  const plain = await asking.ask("GET", `${path}?refits=400&seed=8`);
  expect(events.at(-1)?.data).toEqual(plain.body);
});

test("tells a refusal as an event as well", async () => {
  const { text } = await asking.ask("GET", "/api/series/ser-nowhere/slip-or-break", undefined, {
    accept: "text/event-stream",
  });
  expect(text).toMatch(/^event: refused\ndata: \{"problems":\[\{"code":"BOOK_NOT_FOUND"/);
});

test.each(["application/json", "text/event-stream"])(
  "stops the work when the caller of %s goes away",
  async (accept) => {
    const begun = later();
    const stopped = later();
    const app: App = {
      ...server.app,
      slipOrBreak: (_id, _asked, { signal, onProgress } = {}) => {
        onProgress?.(0.1);
        begun.resolve();
        return new Promise((resolve) => {
          signal?.addEventListener("abort", () => {
            stopped.resolve();
            resolve({ ok: false, problems: [{ code: "FINDING_STOPPED", message: "Stopped." }] });
          });
        });
      },
    };
    const started = await startServer({ app, webRoot: server.webRoot, version: "1.2.3" }, { port: 0 });
    if (!started.ok) throw new Error(JSON.stringify(started.problems));
    const gone = new AbortController();
    const asked = fetch(`http://127.0.0.1:${started.value.port}${path}`, {
      headers: { accept },
      signal: gone.signal,
    }).catch(() => undefined);
    await begun.promise;
    gone.abort();
    await stopped.promise;
    await asked;
    await started.value.close();
  },
);

function later(): { readonly promise: Promise<void>; readonly resolve: () => void } {
  let resolve = () => {};
  const promise = new Promise<void>((done) => {
    resolve = done;
  });
  return { promise, resolve };
}
