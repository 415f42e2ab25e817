import { rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { packInThread, readBundleInThread, verifyInThread } from "../../src/app/node/bundle-in-thread.ts";
import { nodeWorkings, setDistRoot } from "../../src/app/node/mod.ts";
import { parseInThread, readInThread } from "../../src/app/node/read-in-thread.ts";
import { answerTask } from "../../src/app/node/read-task.ts";
import { sha256 } from "../../src/app/node/sha256.ts";
import { type BundleWork, packBundle } from "../../src/app/pack-bundle.ts";
import { verifyBundle } from "../../src/app/use-cases/verify-bundle.ts";
import { programVersion } from "../../src/app/version.ts";
import { readBundle } from "../../src/bundle/mod.ts";
import type { Trace } from "../../src/trace/mod.ts";
import { add, layout, openApp, problemOf, recordingOf, valueIn } from "./open-app.ts";

const here = dirname(fileURLToPath(import.meta.url));
const dist = join(here, `../../node_modules/.cache/bitterend-test/dist-${process.pid}/`);

beforeAll(async () => {
  await build({
    entryPoints: [join(here, "../../src/app/node/read-worker.ts")],
    outfile: join(dist, "read-worker.js"),
    bundle: true,
    platform: "node",
    format: "esm",
    packages: "external",
    define: { __BITTEREND_VERSION__: JSON.stringify(programVersion) },
    logLevel: "warning",
  });
  setDistRoot(pathToFileURL(dist));
});
afterAll(() => rmSync(dist, { recursive: true }));

// 45 pulls, some 4.5 MB: over what is read in the caller's thread.
const large = recordingOf(Array.from({ length: 45 }, () => 60));

describe("reading in a thread of its own", () => {
  it("gives the same reading as in the caller's thread, which meanwhile goes on", async () => {
    expect(large.length).toBeGreaterThan(2_000_000);
    let turns = 0;
    const clock = setInterval(() => {
      turns += 1;
    }, 5);
    const reading = await readInThread([large.subarray(0, 1_000_000), large.subarray(1_000_000)], layout);
    clearInterval(clock);
    expect(turns).toBeGreaterThan(3);
    expect(valueIn(reading)).toEqual(valueIn(answerTask({ what: "reading", bytes: [large], layout })));
    expect(new Set(valueIn(reading).pulls.map(({ peakN }) => peakN))).toEqual(new Set([60_020]));
    expect(valueIn(reading).pulls).toHaveLength(45);
    // The caller's bytes are still the caller's: they are stored afterwards.
    expect(large.length).toBeGreaterThan(2_000_000);
  });

  it("hands the samples over whole", async () => {
    const trace = valueIn(await parseInThread([large], layout));
    const here = valueIn(answerTask({ what: "trace", bytes: [large], layout })) as Trace;
    // Byte for byte; comparing a million numbers one by one takes seconds.
    const bytesOf = (column?: Float64Array) => Buffer.from(column?.buffer ?? new ArrayBuffer(0));
    expect(trace.forceN).toHaveLength(here.forceN.length);
    expect(bytesOf(trace.forceN).equals(bytesOf(here.forceN))).toBe(true);
    expect(bytesOf(trace.timeS).equals(bytesOf(here.timeS))).toBe(true);
  });

  it("gives a refusal back as a refusal", async () => {
    const broken = large.slice();
    broken.set(new TextEncoder().encode("broken"), 2_000_000);
    expect(problemOf(await readInThread([broken], layout))).toMatchObject({
      code: expect.stringMatching(/^TRACE_/),
    });
  });

  it("ends the thread when it is stopped", async () => {
    const stop = new AbortController();
    const before = process.getActiveResourcesInfo().filter((name) => name === "MessagePort").length;
    const reading = readInThread([large], layout, { signal: stop.signal });
    // No thread has begun to read by then, however quick it is.
    setImmediate(() => stop.abort());
    expect(problemOf(await reading)).toMatchObject({ code: "TRACE_STOPPED" });
    await expect
      .poll(() => process.getActiveResourcesInfo().filter((name) => name === "MessagePort").length)
      .toBeLessThanOrEqual(before);
  });
});

describe("packing a bundle in a thread of its own", () => {
  it("gives the same bytes as in the caller's thread, and the book answers meanwhile", async () => {
    let begun = (): void => {};
    const packing = new Promise<void>((resolve) => {
      begun = resolve;
    });
    let work: BundleWork | undefined;
    const { app } = await openApp({
      packBundle: (asked) => {
        work = asked;
        begun();
        return packInThread(asked);
      },
    });
    const series = await add(app, "series", { title: "Large" });
    valueIn(
      await app.importRecording({ seriesId: series.id, fileName: "large.csv", layout, bytes: [large] }),
    );
    let done = false;
    const making = app.bundleOfSeries(series.id).finally(() => {
      done = true;
    });
    await packing;
    expect(valueIn(await app.overview(series.id)).pulls).toHaveLength(45);
    expect(done).toBe(false);
    const { bytes } = valueIn(await making);
    if (work === undefined) throw new Error("nothing was packed");
    const here = valueIn(packBundle(work, (part) => sha256([part])));
    expect(Buffer.from(bytes).equals(Buffer.from(here))).toBe(true);

    // And back: read and verified in threads as in the caller's.
    const direct = valueIn(readBundle(bytes, { sha256: (part) => sha256([part]) }));
    const read = valueIn(await readBundleInThread(bytes));
    expect({ ...read, files: undefined }).toEqual({ ...direct, files: undefined });
    expect([...read.files.keys()]).toEqual([...direct.files.keys()]);
    for (const [path, file] of direct.files)
      expect(Buffer.compare(read.files.get(path) ?? Buffer.alloc(0), file), path).toBe(0);
    const file = { fileName: "large.zip", bytes };
    const verified = await verifyInThread(file);
    expect(verified).toMatchObject({ ok: true, value: { same: true, recordings: 1, readings: 45 } });
    expect(verified).toEqual(await verifyBundle(nodeWorkings(), file));
    expect(await verifyInThread({ fileName: "small.zip", bytes: bytes.subarray(0, 1000) })).toBeUndefined();
    const cut = bytes.slice(0, -1000);
    expect(await readBundleInThread(cut)).toEqual(readBundle(cut, { sha256: (part) => sha256([part]) }));
  });
});
