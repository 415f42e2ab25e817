import { beforeEach, describe, expect, it } from "vitest";
import {
  type App,
  createApp,
  type Effects,
  type ImportRequest,
  type StoredRecord,
  StoreTrouble,
} from "../../src/app/mod.ts";
import { momentOf } from "../../src/app/use-cases/recordings.ts";
import { createTraceCache } from "../../src/app/use-cases/trace-cache.ts";
import { ok } from "../../src/problem/mod.ts";
import { add, layout, openApp, problemOf, recordingOf, valueIn } from "./open-app.ts";

let app: App;
let effects: Effects;
let series: StoredRecord<"series">;
beforeEach(async () => {
  ({ app, effects } = await openApp());
  series = await add(app, "series", { title: "Does bury matter?" });
});

function request(bytes: Uint8Array, more: Partial<ImportRequest> = {}): ImportRequest {
  return { seriesId: series.id, fileName: "day-1.csv", bytes: [bytes], layout, ...more };
}

describe("importing a recording", () => {
  it("stores the bytes, the reading and a pull for each that was read", async () => {
    const bytes = recordingOf([12, 8, 10]);
    const imported = valueIn(await app.importRecording(request(bytes)));
    expect(imported.known).toBe(false);
    expect(imported.pulls.map(({ order, recordingPull }) => [order, recordingPull])).toEqual([
      [1, 1],
      [2, 2],
      [3, 3],
    ]);
    // The peaks are what the file was made with: exact, since each peak's own sample carries no ripple.
    const nets = imported.pulls.map(({ reading }) => reading?.netPeakN ?? Number.NaN);
    for (const [at, kn] of [12, 8, 10].entries())
      expect(Math.abs((nets[at] as number) - kn * 1000)).toBeLessThan(5);
    expect(imported.pulls.map(({ reading }) => reading?.peakN)).toEqual([12_020, 8020, 10_020]);
    expect(valueIn(await app.recordingBytes(imported.recording.sha256))).toEqual(bytes);
    expect(valueIn(await app.getRecording(imported.recording.sha256))).toEqual(imported.recording);
    expect(valueIn(await app.getPull(imported.pulls[1]?.id ?? ""))).toEqual(imported.pulls[1]);
  });

  it("goes on with the order of pulling", async () => {
    await add(app, "pull", { seriesId: series.id, order: 7 });
    const one = valueIn(await app.importRecording(request(recordingOf([12]))));
    const two = valueIn(await app.importRecording(request(recordingOf([9, 8]), { fileName: "day-2.csv" })));
    expect([...one.pulls, ...two.pulls].map(({ order }) => order)).toEqual([8, 9, 10]);
    const held = valueIn(await app.overview(series.id));
    expect(held.pulls.map(({ order }) => order)).toEqual([7, 8, 9, 10]);
    expect(held.recordings.map(({ fileName }) => fileName)).toEqual(["day-1.csv", "day-2.csv"]);
    expect("reading" in (held.recordings[0] ?? {})).toBe(false);
  });

  it("notices the same bytes under any name, and returns what is there", async () => {
    const bytes = recordingOf([12, 8]);
    const first = valueIn(await app.importRecording(request(bytes)));
    const again = await app.importRecording(request(bytes, { fileName: "copy of day-1.csv" }));
    expect(valueIn(again)).toEqual({ ...first, known: true });
    expect(again).toMatchObject({ warnings: [] });
    expect(await app.list("pull")).toHaveLength(2);
    expect(valueIn(await app.overview(series.id)).recordings).toHaveLength(1);
    // Read by another unit, the first reading stands, and it is said.
    const otherwise = { ...layout, force: { ...layout.force, unit: "lbf" } } as const;
    expect(await app.importRecording(request(bytes, { layout: otherwise }))).toMatchObject({
      value: { known: true, recording: { layout } },
      warnings: [{ code: "INPUT_DOUBT" }],
    });
  });

  it("says where the same bytes are when they are in another series", async () => {
    const bytes = recordingOf([12]);
    valueIn(await app.importRecording(request(bytes)));
    const other = await add(app, "series", { title: "other" });
    const refused = problemOf(await app.importRecording(request(bytes, { seriesId: other.id })));
    expect(refused).toMatchObject({ code: "BOOK_ELSEWHERE", found: series.id });
    expect(refused?.message).toContain("Does bury matter?");
  });

  it("can be taken back: the pulls first, then the recording", async () => {
    const bytes = recordingOf([12]);
    const { recording, pulls } = valueIn(await app.importRecording(request(bytes)));
    valueIn(await app.traceWindow(recording.sha256, { columns: 10 }));
    expect(problemOf(await app.removeRecording(recording.sha256))).toMatchObject({ code: "BOOK_IN_USE" });
    valueIn(await app.remove("pull", pulls[0]?.id ?? ""));
    valueIn(await app.removeRecording(recording.sha256));
    expect(problemOf(await app.getRecording(recording.sha256))).toMatchObject({ code: "BOOK_NOT_FOUND" });
    expect(problemOf(await app.traceWindow(recording.sha256, { columns: 10 }))).toMatchObject({
      code: "BOOK_NOT_FOUND",
    });
    expect(valueIn(await app.importRecording(request(bytes))).known).toBe(false);
  });

  it.each([
    ["an empty file", new Uint8Array()],
    ["a header only", new TextEncoder().encode("time_s,force_kN\n")],
    ["a row that cannot be read", new TextEncoder().encode("time_s,force_kN\n0,1\n0.1,what\n0.2,3\n0.3,4\n")],
    ["a PNG named .csv", Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13)],
  ])("refuses %s and half-stores nothing", async (_, bytes) => {
    const refused = await app.importRecording(request(bytes, { saveLayoutAs: "shed logger" }));
    expect(problemOf(refused)).toMatchObject({ where: { file: "day-1.csv" } });
    expect(valueIn(await app.overview(series.id))).toMatchObject({ pulls: [], recordings: [] });
    expect(await app.list("layout")).toEqual([]);
  });

  it("half-stores nothing when the last step fails", async () => {
    // The third id that is asked for cannot be made: two pulls were written, the third was not.
    let asked = 0;
    const newId = (prefix: string) => {
      asked += 1;
      if (asked === 3) throw new Error("on purpose");
      return `${prefix}-broken-${asked}`;
    };
    const broken = createApp({ ...effects, newId });
    await expect(broken.importRecording(request(recordingOf([12, 8, 9])))).rejects.toThrow("on purpose");
    expect(valueIn(await app.overview(series.id))).toMatchObject({ pulls: [], recordings: [] });
  });

  it("refuses a series or bench that is not there, and a layout that is none", async () => {
    const bytes = recordingOf([12]);
    expect(problemOf(await app.importRecording(request(bytes, { seriesId: "ser-none" })))).toMatchObject({
      code: "BOOK_NOT_FOUND",
    });
    expect(problemOf(await app.importRecording(request(bytes, { benchId: "ben-none" })))).toMatchObject({
      where: { field: "benchId" },
    });
    const unitless = { ...layout, force: { column: 2 } } as unknown as typeof layout;
    expect(problemOf(await app.importRecording(request(bytes, { layout: unitless })))).toMatchObject({
      code: "INPUT_FIELD",
      where: { field: "layout.force.unit" },
    });
  });

  it("stops when it is told to, storing nothing", async () => {
    const stop = new AbortController();
    stop.abort();
    expect(
      problemOf(await app.importRecording(request(recordingOf([12]), { signal: stop.signal }))),
    ).toMatchObject({ code: "TRACE_STOPPED" });
    expect(valueIn(await app.overview(series.id)).recordings).toEqual([]);
  });

  it("keeps the layout under a name and proposes it for the next file of that logger", async () => {
    const bytes = recordingOf([12]);
    valueIn(await app.importRecording(request(bytes, { saveLayoutAs: "shed logger" })));
    const next = valueIn(await app.proposeLayout(recordingOf([9]), { fileName: "day-2.csv" }));
    expect(next.saved?.name).toBe("shed logger");
    expect(next.layout).toEqual(layout);
    expect(next.questions).toEqual([]);
    // Once more under the same name with a correction: the kept layout follows.
    const corrected = { ...layout, force: { ...layout.force, inverted: true } };
    valueIn(
      await app.importRecording(
        request(recordingOf([9]), { fileName: "day-2.csv", layout: corrected, saveLayoutAs: "shed logger" }),
      ),
    );
    const layouts = await app.list("layout");
    expect(layouts.map(({ name, layout }) => [name, layout.force.inverted])).toEqual([["shed logger", true]]);
  });

  it("reads a file without storing it", async () => {
    const reading = valueIn(await app.readFile([recordingOf([12, 8])], layout));
    expect(reading.pulls).toHaveLength(2);
    expect(valueIn(await app.overview(series.id)).recordings).toEqual([]);
  });
});

describe("recorded pulls", () => {
  it("name one of the recording's pulls, once, and carry no typed peak", async () => {
    const { recording, pulls } = valueIn(await app.importRecording(request(recordingOf([12]))));
    const input = { seriesId: series.id, recordingSha256: recording.sha256 };
    expect(problemOf(await app.create("pull", { ...input, recordingPull: 2 }))).toMatchObject({
      where: { field: "recordingPull" },
      expected: "a pull of the recording, 1 to 1",
    });
    expect(problemOf(await app.create("pull", { ...input, recordingPull: 1 }))).toMatchObject({
      code: "BOOK_TAKEN",
    });
    expect(problemOf(await app.change("pull", pulls[0]?.id ?? "", 1, { typedPeakN: 5 }))).toMatchObject({
      where: { field: "typedPeakN" },
    });
    const other = await add(app, "series", { title: "other" });
    expect(
      problemOf(await app.create("pull", { ...input, seriesId: other.id, recordingPull: 1 })),
    ).toMatchObject({ where: { field: "recordingSha256" } });
  });
});

describe("windows of a trace", () => {
  it("shows the extremes of all samples in few columns", async () => {
    const { recording } = valueIn(await app.importRecording(request(recordingOf([12]))));
    const window = valueIn(await app.traceWindow(recording.sha256, { columns: 50 }));
    expect(window.x).toHaveLength(50);
    expect(Math.max(...window.highN.map((high) => high ?? 0))).toBe(12_020);
    const first = valueIn(await app.traceWindow(recording.sha256, { fromRow: 1, toRow: 100, columns: 200 }));
    expect(first).toMatchObject({ fromRow: 1, toRow: 100 });
    expect(first.x).toHaveLength(100);
  });

  it.each([
    [{ columns: 0 }, "columns"],
    [{ columns: 1.5 }, "columns"],
    [{ columns: 10, fromRow: 0 }, "fromRow"],
    [{ columns: 10, fromRow: 9, toRow: 8 }, "toRow"],
  ])("refuses %j", async (window, field) => {
    const { recording } = valueIn(await app.importRecording(request(recordingOf([12]))));
    expect(problemOf(await app.traceWindow(recording.sha256, window))).toMatchObject({ where: { field } });
  });
});

describe("the outline of a long recording", () => {
  /** 300,000 rows: slack, a ramp of 20 kN by 250,000 rows, slack; one sample stands out. */
  const long = () => {
    const lines = ["time_s,force_kN"];
    for (let row = 0; row < 300_000; row++) {
      const load = row < 20_000 || row >= 270_000 ? 0.02 : ((row - 20_000) * 20) / 250_000;
      const force = row === 123_456 ? 19.5 : load + ((row * 7919) % 41) / 10_000;
      lines.push(`${(row / 1000).toFixed(3)},${force.toFixed(4)}`);
    }
    return new TextEncoder().encode(`${lines.join("\n")}\n`);
  };

  it("is kept when it is first opened; after that the trace opens without its samples", async () => {
    const { recording } = valueIn(await app.importRecording(request(long())));
    const { sha256 } = recording;
    let opened = 0;
    let texts = 0;
    const { store } = effects;
    const read: Effects["store"]["read"] = {
      ...store.read,
      recordingRows: (...all) => {
        opened++;
        return store.read.recordingRows(...all);
      },
      recordingBytes: (of) => {
        texts++;
        return store.read.recordingBytes(of);
      },
    };
    const reopened = () => createApp({ ...effects, store: { ...store, read } });
    const first = reopened();
    const whole = { columns: 500 };
    const window = valueIn(await first.traceWindow(sha256, whole));
    expect([opened, (await store.read.recordingOutline(sha256))?.length]).toEqual([1, 16 + 24 * 1172]);
    expect(window.x).toHaveLength(500);
    expect(window).toMatchObject({ fromRow: 1, toRow: 300_000, xIsTime: true });
    // The sample that stands out, in the span in which its time lies.
    const span = window.x.findLastIndex((time) => time <= 123.456);
    expect(window.highN[span]).toBe(19_500);
    expect(valueIn(await first.traceWindow(sha256, whole))).toBe(window);

    const second = reopened();
    expect(valueIn(await second.traceWindow(sha256, whole))).toEqual(window);
    expect(opened).toBe(1);
    // Nearer than the outline, samples are read, and then both are at hand.
    const near = { fromRow: 123_000, toRow: 124_000, columns: 1000 };
    expect(valueIn(await second.traceWindow(sha256, near)).highN[456 + 1]).toBe(19_500);
    expect(valueIn(await second.traceWindow(sha256, whole))).toEqual(window);
    expect([opened, texts]).toEqual([2, 0]);

    // Read by another unit, the old outline is no more.
    valueIn(await second.changeLayout(sha256, { ...layout, force: { ...layout.force, unit: "N" } }));
    expect(valueIn(await second.traceWindow(sha256, whole)).highN[span]).toBe(19.5);
    expect(valueIn(await reopened().traceWindow(sha256, whole)).highN[span]).toBe(19.5);
    expect(opened).toBe(3);
  });

  it("is not missed where the book cannot keep it", async () => {
    const { recording } = valueIn(await app.importRecording(request(long())));
    const full = new StoreTrouble({ code: "BOOK_FULL", message: "The disk is full." }, undefined);
    const store = { ...effects.store, transaction: () => Promise.reject(full) };
    const window = await createApp({ ...effects, store }).traceWindow(recording.sha256, { columns: 500 });
    expect(Math.max(...valueIn(window).highN.map((high) => high ?? 0))).toBeGreaterThan(19_990);
  });
});

describe("the cache of traces", () => {
  const trace = (rows: number) => async () => ok({ forceN: new Float64Array(rows), missing: 0 });

  it("keeps the lately used within its bytes and decodes once for many askers", async () => {
    const cache = createTraceCache(8 * 250);
    let decoded = 0;
    const load = (rows: number) => () => {
      decoded += 1;
      return trace(rows)();
    };
    await Promise.all([cache.get("a", load(100)), cache.get("a", load(100))]);
    expect([decoded, cache.bytes]).toEqual([1, 800]);
    await cache.get("b", load(100));
    await cache.get("a", load(100));
    await cache.get("c", load(100));
    // "b" was the least lately used.
    expect([decoded, cache.bytes]).toEqual([3, 1600]);
    await cache.get("a", load(100));
    expect(decoded).toBe(3);
    await cache.get("b", load(100));
    expect(decoded).toBe(4);
    await cache.get("too large", load(1000));
    expect(cache.bytes).toBeLessThanOrEqual(2000);
    cache.forget("b");
    cache.forget("a");
    cache.forget("c");
    expect(cache.bytes).toBe(0);
  });

  it("keeps no failure", async () => {
    const cache = createTraceCache(1000);
    await expect(cache.get("a", () => Promise.reject(new Error("gone")))).rejects.toThrow("gone");
    expect((await cache.get("a", trace(10))).ok).toBe(true);
  });
});

describe("the moment of a pull", () => {
  it.each([
    ["2024-05-01T10:00:00Z", 90.4, "2024-05-01T10:01:30Z"],
    ["2024-05-01T23:59:50+02:00", 20, "2024-05-02T00:00:10+02:00"],
    ["2024-05-01T10:00:00.250", undefined, "2024-05-01T10:00:00"],
    ["2024-05-01 10:00:00", 1, "2024-05-01T10:00:01"],
    ["yesterday", 1, undefined],
    [undefined, 1, undefined],
  ])("%s and %s s is %s", (startedAt, startS, moment) => {
    expect(momentOf(startedAt, startS)).toBe(moment);
  });
});
