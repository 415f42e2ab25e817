import { closeSync, fsyncSync, mkdirSync, mkdtempSync, openSync, readFileSync, writeSync } from "node:fs";
import { createServer, request } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { Worker } from "node:worker_threads";
import Sqlite from "better-sqlite3";
import { openSqliteBook } from "../../src/store/mod.ts";
import { add, recordingOf } from "../../test/store/examples.ts";

/** Where the files lie that works are done on; what they write goes beside. */
const folder = () => {
  const beside = join(process.cwd(), "node_modules/.cache/bitterend/bench/written");
  mkdirSync(beside, { recursive: true });
  return mkdtempSync(join(beside, "b-"));
};

async function openBook(path: string) {
  const opened = await openSqliteBook(path, { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  return opened.value;
}

/** So many recordings, each different in its first row. */
function recordings(count: number): Uint8Array[] {
  const whole = readFileSync(join(process.cwd(), "node_modules/.cache/bitterend/bench/rows-30000.csv"));
  return Array.from({ length: count }, (_, at) => {
    const bytes = Uint8Array.from(whole);
    bytes.set(new TextEncoder().encode(String(at).padStart(4, "0")), 0);
    return bytes;
  });
}

export async function store(count: number): Promise<() => Promise<readonly number[]>> {
  const book = await openBook(join(folder(), "book.sqlite"));
  const series = await add(book, "series", { title: "bench" });
  const all = recordings(count).map((bytes) => ({ bytes, recording: recordingOf(series.id, bytes) }));
  return async () => {
    for (const { bytes, recording } of all)
      await book.transaction((work) => work.insertRecording(recording, [bytes]));
    await book.close();
    return [count];
  };
}

export function storePlain(count: number): () => Promise<readonly number[]> {
  const to = folder();
  const all = recordings(count);
  return async () => {
    all.forEach((bytes, at) => {
      const file = openSync(join(to, `${at}.csv`), "w");
      writeSync(file, bytes);
      fsyncSync(file);
      closeSync(file);
    });
    return [count];
  };
}

let listed: { path: string; seriesId: string } | undefined;

/** A book of so many pulls in two series, typed peaks and outcomes. */
async function bookOfPulls(count: number): Promise<{ path: string; seriesId: string }> {
  if (listed !== undefined) return listed;
  const path = join(folder(), "book.sqlite");
  const book = await openBook(path);
  const series = await add(book, "series", { title: "long" });
  const other = await add(book, "series", { title: "other" });
  await book.close();
  const database = new Sqlite(path);
  const insert = database.prepare(
    "insert into pull (id, revision, created_at, changed_at, series_id, typed_peak_n, outcome_kind, outcome_place, \"order\", operator, notes, overrides) values (?, 1, '2024', '2024', ?, ?, ?, ?, ?, '', '', '[]')",
  );
  database.transaction(() => {
    for (let at = 0; at < 2 * count; at++) {
      const broke = at % 3 !== 0;
      insert.run(
        `pul-${at}`,
        at % 2 === 0 ? series.id : other.id,
        20_000 + ((at * 7919) % 9973),
        broke ? "broke" : "slipped",
        broke ? "throat" : null,
        at,
      );
    }
  })();
  database.close();
  listed = { path, seriesId: series.id };
  return listed;
}

export async function list(count: number): Promise<() => Promise<readonly number[]>> {
  const { path, seriesId } = await bookOfPulls(count);
  const book = await openBook(path);
  return async () => {
    const pulls = await book.read.list("pull", { seriesId });
    const broke = pulls.filter(({ outcome }) => outcome?.kind === "broke");
    broke.sort((a, b) => (a.typedPeakN ?? 0) - (b.typedPeakN ?? 0));
    return [broke.length, broke[0]?.typedPeakN ?? 0, broke.at(-1)?.typedPeakN ?? 0];
  };
}

export async function listPlain(count: number): Promise<() => Promise<readonly number[]>> {
  const { path, seriesId } = await bookOfPulls(count);
  const database = new Sqlite(path);
  return async () => {
    const rows = database
      .prepare("select * from pull where series_id = ? and outcome_kind = 'broke' order by typed_peak_n")
      .all(seriesId) as { typed_peak_n: number }[];
    return [rows.length, rows[0]?.typed_peak_n ?? 0, rows.at(-1)?.typed_peak_n ?? 0];
  };
}

const clients = 50;
/** As the page asks for a window. */
const bytesType = "application/octet-stream";

/** Asks so many times, 50 at once, and gives the milliseconds of each answer. */
async function askMany(port: number, next: () => string, count: number): Promise<number[]> {
  const times: number[] = [];
  let asked = 0;
  const one = async () => {
    while (asked++ < count) {
      const from = performance.now();
      const path = next();
      await new Promise<void>((resolve, reject) => {
        request({ port, path, host: "127.0.0.1", headers: { accept: bytesType } }, (answer) => {
          if (answer.statusCode !== 200) reject(new Error(`answered ${answer.statusCode}`));
          answer.resume().on("end", resolve);
        })
          .on("error", reject)
          .end();
      });
      times.push(performance.now() - from);
    }
  };
  await Promise.all(Array.from({ length: clients }, one));
  return times.sort((a, b) => a - b);
}

/** Both servers run in a thread of their own, so that the clients do not hold them up. */
async function served(what: "ours" | "plain"): Promise<{ port: number; path: string }> {
  const worker = new Worker(new URL("http-server.mjs", import.meta.url), {
    workerData: { what, folder: folder() },
  });
  return new Promise((resolve, reject) => {
    worker.once("message", resolve);
    worker.once("error", reject);
  });
}

/** `apart`: each client asks for another window each time, as hands do that move; else all ask for the same. */
export async function http(
  what: "ours" | "plain",
  count: number,
  apart = false,
): Promise<() => Promise<readonly number[]>> {
  running[what] ??= served(what);
  const { port, path } = await running[what];
  let asked = 0;
  const next = () => (apart ? `${path}${windowAt(asked++)}` : path);
  await askMany(port, next, clients);
  return async () => {
    const times = await askMany(port, next, count);
    return [times[times.length >> 1] as number, times[Math.floor(0.99 * times.length)] as number];
  };
}

/** Another stretch of the million rows each time, 40,000 to 400,000 long; it comes back after 10,000 of them. */
function windowAt(number: number): string {
  const long = 40_000 * (1 + (number % 10));
  const from = 1 + ((number * 7919) % 10_000) * 60;
  return `&fromRow=${from}&toRow=${from + long}`;
}

const running: Partial<Record<"ours" | "plain", Promise<{ port: number; path: string }>>> = {};

export function plainServer(size: number): Promise<number> {
  const ready = Buffer.alloc(size, 120);
  const server = createServer((_, answer) => {
    answer.setHeader("content-type", bytesType);
    answer.end(ready);
  });
  return new Promise((resolve) =>
    server.listen(0, "127.0.0.1", () => resolve((server.address() as AddressInfo).port)),
  );
}
