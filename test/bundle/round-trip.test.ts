import { unzipSync } from "fflate";
import { parquetReadObjects } from "hyparquet";
import { beforeAll, describe, expect, it } from "vitest";
import type { App, BundleMade, StoredRecord } from "../../src/app/mod.ts";
import { problemOf, recordingOf, valueIn } from "../app/open-app.ts";
import { bookOf, fullSeries } from "./books.ts";

let app: App;
let series: StoredRecord<"series">;
let made: BundleMade;
beforeAll(async () => {
  app = await bookOf("ours");
  series = await fullSeries(app);
  made = valueIn(await app.bundleOfSeries(series.id));
});

describe("a bundle", () => {
  it("gives the same bytes for the same series", async () => {
    const again = valueIn(await app.bundleOfSeries(series.id));
    expect(Buffer.from(again.bytes).equals(made.bytes)).toBe(true);
  });

  it("holds the recordings byte for byte, and their samples as Parquet", async () => {
    const files = unzipSync(made.bytes);
    const original = Object.entries(files).find(([path]) => /^recordings\/[0-9a-f]{64}\.csv$/.test(path));
    const bytes = recordingOf([24.1, 24.9, 23.4, 27.2, 28.1, 27.7], 0.02);
    expect(Buffer.from(bytes).equals(original?.[1] ?? Buffer.alloc(0))).toBe(true);
    const samples = Object.entries(files).find(([path]) => path.endsWith(".parquet"))?.[1];
    if (samples === undefined) throw new Error("no samples");
    const rows = (await parquetReadObjects({
      file: samples.buffer.slice(samples.byteOffset, samples.byteOffset + samples.length) as ArrayBuffer,
    })) as { time_s: number; force_n: number }[];
    // Read back from the very text of the recording: seconds, and kilonewtons as newtons.
    const lines = new TextDecoder().decode(bytes).trim().split("\n").slice(1);
    expect(rows.length).toBe(lines.length);
    for (const at of [0, 1234, lines.length - 1]) {
      const [time, force] = (lines[at] ?? "").split(",").map(Number);
      expect(rows[at]?.time_s).toBe(time);
      expect(rows[at]?.force_n).toBeCloseTo((force ?? 0) * 1000, 9);
    }
  });

  it("comes out of another book as it went in: the same tables, findings and hash", async () => {
    const other = await bookOf("theirs");
    await fullSeries(other, { title: "Their own", salt: 3 });
    const imported = valueIn(await other.importBundle({ fileName: "a.zip", bytes: made.bytes }));
    expect(imported.known).toBe(false);
    expect(imported.series.id).not.toBe(series.id);
    const again = valueIn(await other.bundleOfSeries(imported.series.id));
    const [before, after] = [unzipSync(made.bytes), unzipSync(again.bytes)];
    const data = (files: typeof before) =>
      Object.fromEntries(
        Object.entries(files)
          .filter(([path]) => path !== "report.html" && path !== "datapackage.json")
          .map(([path, bytes]) => [
            path,
            Buffer.from(bytes).toString(path.startsWith("data/") ? "utf8" : "base64"),
          ]),
      );
    expect(data(after)).toEqual(data(before));
    expect(again.contentSha256).toBe(made.contentSha256);
  });

  it("keeps where it came from, and a second time is known and stores nothing", async () => {
    const other = await bookOf("theirs");
    const published = valueIn(await app.publishReport(series.id));
    const bundle = valueIn(await app.bundleOfReport(published.id));
    const first = valueIn(await other.importBundle({ fileName: "a.zip", bytes: bundle.bytes }));
    const held = valueIn(await other.overview(first.series.id));
    expect(held.imported?.origin).toMatchObject({
      fileName: "a.zip",
      seriesId: series.id,
      tester: "Loft 7",
      revision: published.number,
      publishedAt: published.publishedAt,
    });
    expect(held.imported?.contentSha256).toBe(published.contentSha256);
    const second = valueIn(await other.importBundle({ fileName: "b.zip", bytes: bundle.bytes }));
    expect(second).toMatchObject({ known: true, series: { id: first.series.id } });
    expect(await other.list("series")).toHaveLength(1);
    expect(await other.list("pull")).toHaveLength(7);
  });

  it("is refused in the book in which it was made", async () => {
    expect(problemOf(await app.importBundle({ fileName: "a.zip", bytes: made.bytes }))).toMatchObject({
      code: "BUNDLE_KNOWN",
      found: series.id,
    });
    expect(await app.list("series")).toHaveLength(1);
  });

  it("of a later revision takes the earlier one’s place when that is asked for, and pools follow", async () => {
    const home = await bookOf("home");
    const theirs = await fullSeries(home, { title: "Theirs", salt: 5 });
    const first = valueIn(await home.bundleOfSeries(theirs.id));
    const other = await bookOf("away");
    const own = await fullSeries(other, { title: "Own", salt: 7 });
    const came = valueIn(await other.importBundle({ fileName: "1.zip", bytes: first.bytes }));
    valueIn(
      await other.create("pooled-series", {
        seriesId: own.id,
        name: "theirs",
        otherSeriesId: came.series.id,
      }),
    );
    valueIn(await home.change("series", theirs.id, 1, { conclusions: "More is better." }));
    const second = valueIn(await home.bundleOfSeries(theirs.id));
    expect(problemOf(await other.importBundle({ fileName: "2.zip", bytes: second.bytes }))?.code).toBe(
      "BUNDLE_KNOWN",
    );
    const later = valueIn(
      await other.importBundle({ fileName: "2.zip", bytes: second.bytes, replace: true }),
    );
    expect((await other.list("series")).map(({ title }) => title)).toEqual(["Own", "Theirs"]);
    expect(later.series.conclusions).toBe("More is better.");
    const [pooled] = await other.list("pooled-series");
    expect(pooled?.otherSeriesId).toBe(later.series.id);
    // One of each: what the first had brought went with it.
    expect((await other.list("rope")).length).toBe(2);
    expect((await other.list("pull")).length).toBe(14);
  });
});

describe("pooling across testers", () => {
  it("takes an imported series like one’s own: the numbers are those of both in one book", async () => {
    const theirs = await bookOf("theirs");
    const there = await fullSeries(theirs, {
      title: "There",
      salt: 4,
      peaksKn: [25, 25.6, 24.6, 28.4, 27.5, 28.8],
    });
    const bundle = valueIn(await theirs.bundleOfSeries(there.id));
    const ours = await bookOf("here");
    const own = await fullSeries(ours, { title: "Here", salt: 6 });
    const came = valueIn(await ours.importBundle({ fileName: "there.zip", bytes: bundle.bytes }));
    const pool = { seriesId: own.id, name: "There", levels: { bury: 36 }, otherLevels: { bury: 36 } };
    valueIn(await ours.create("pooled-series", { ...pool, otherSeriesId: came.series.id }));
    const [pooled] = valueIn(await ours.findings(own.id)).pooled;
    if (pooled?.pooled.ok !== true) throw new Error(JSON.stringify(pooled));
    expect(pooled.sources.map(({ name, n }) => [name, n])).toEqual([
      ["this series", 3],
      ["There", 3],
    ]);
    // The same pulls, made in one book by hand and never bundled.
    const one = await bookOf("one");
    const first = await fullSeries(one, { title: "Here", salt: 6 });
    const second = await fullSeries(one, {
      title: "There",
      salt: 4,
      peaksKn: [25, 25.6, 24.6, 28.4, 27.5, 28.8],
    });
    valueIn(await one.create("pooled-series", { ...pool, seriesId: first.id, otherSeriesId: second.id }));
    const [wanted] = valueIn(await one.findings(first.id)).pooled;
    expect(pooled.pooled).toEqual(wanted?.pooled);
    // And by algebra: with two sources of equal n and free spread the mean lies between both means.
    const means = pooled.sources.map(({ mean }) => mean.value);
    expect(pooled.pooled.value.mean.value).toBeGreaterThan(Math.min(...means));
    expect(pooled.pooled.value.mean.value).toBeLessThan(Math.max(...means));
  });

  it("keeps the same forest in a book that has not the other series: its figures stand for its pulls", async () => {
    const theirs = await bookOf("theirs");
    const own = await fullSeries(theirs, { title: "Own", salt: 6 });
    const other = await fullSeries(theirs, {
      title: "Beside",
      salt: 4,
      peaksKn: [25, 25.6, 24.6, 28.4, 27.5, 28.8],
    });
    valueIn(
      await theirs.create("pooled-series", {
        seriesId: own.id,
        name: "Beside",
        otherSeriesId: other.id,
        levels: { bury: 36 },
        otherLevels: { bury: 36 },
      }),
    );
    const bundle = valueIn(await theirs.bundleOfSeries(own.id));
    const ours = await bookOf("here");
    const came = await ours.importBundle({ fileName: "own.zip", bytes: bundle.bytes });
    if (!came.ok) throw new Error(JSON.stringify(came.problems));
    expect(came.warnings).toContainEqual(
      expect.objectContaining({ code: "BUNDLE_LEFT_OUT", found: "Beside" }),
    );
    const [wanted] = valueIn(await theirs.findings(own.id)).pooled;
    const [found] = valueIn(await ours.findings(came.value.series.id)).pooled;
    if (found?.pooled.ok !== true || wanted?.pooled.ok !== true) throw new Error(JSON.stringify(found));
    // The same figures go the way of a publication: the same to rounding.
    expect(found.pooled.value.mean.value).toBeCloseTo(wanted.pooled.value.mean.value, 12);
    expect(found.pooled.value.nextSeries[0]).toBeCloseTo(wanted.pooled.value.nextSeries[0], 10);
    const rows = (of: typeof found) =>
      of.sources.map(({ name, n, mean }) => [name, n, mean.value.toFixed(10), mean.interval[0].toFixed(10)]);
    expect(rows(found)).toEqual(rows(wanted));
    // By hand: the mean of the three at 36 d, less the 38 N by which the certificate has the cell too high there, over 60 kN.
    expect(found.sources[1]?.mean.value).toBeCloseTo(((28.4 + 27.5 + 28.8) / 3 - 0.038) / 60, 4);
    const [row] = await ours.list("pooled-series");
    expect(row).toMatchObject({ n: 3, basis: "rated, all legs", source: "pulls of “Beside”, in own.zip" });
    expect(row?.otherSeriesId).toBeUndefined();
  });
});
