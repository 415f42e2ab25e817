import { beforeEach, describe, expect, it } from "vitest";
import { type App, createApp, type Effects, type StoredPull, type StoredRecord } from "../../src/app/mod.ts";
import { ok } from "../../src/problem/mod.ts";
import { add, layout, openApp, problemOf, recordingOf, valueIn } from "./open-app.ts";

let app: App;
let effects: Effects;
let series: StoredRecord<"series">;
let cell: StoredRecord<"load-cell">;
let bench: StoredRecord<"bench">;
beforeEach(async () => {
  ({ app, effects } = await openApp());
  series = await add(app, "series", { title: "Does bury matter?" });
  cell = await add(app, "load-cell", { name: "cell" });
  bench = await add(app, "bench", { name: "shed", loadCellId: cell.id });
});

/** A cell that shows 2 % too much, by three points of its certificate. */
const showsTwoPercentMore = [5000, 10_000, 20_000].map((appliedN) => ({
  appliedN,
  indicatedN: appliedN * 1.02,
}));

async function imported(peaksKn: readonly number[], benchId?: string) {
  return valueIn(
    await app.importRecording({
      seriesId: series.id,
      fileName: "day-1.csv",
      bytes: [recordingOf(peaksKn)],
      layout,
      ...(benchId === undefined ? {} : { benchId }),
    }),
  );
}

async function peakOf(id: string) {
  const pull = valueIn(await app.getPull(id));
  return {
    valueN: pull.reading?.deep?.peak?.valueN ?? Number.NaN,
    expandedN: pull.reading?.deep?.peak?.expandedN ?? Number.NaN,
    codes: (pull.reading?.warnings ?? []).map(({ code }) => code),
  };
}

const idOf = (pulls: readonly StoredPull[], at = 0) => pulls[at]?.id ?? "";

describe("a load cell's calibration", () => {
  it("corrects what a person read from the samples as well, and goes on doing so when its points change", async () => {
    const { pulls } = await imported([12], bench.id);
    const pull = valueIn(await app.getPull(idOf(pulls)));
    const peakRow = pull.reading?.peakRow ?? 0;
    valueIn(
      await app.override(pull.id, pull.revision, {
        what: "add slip",
        fromRow: peakRow,
        toRow: peakRow + 1,
        by: "me",
      }),
    );
    // The slip begins at the peak: 12 kN shown, known to the 2 N of noise of a sample and of the rest.
    const slipN = async () =>
      valueIn(await app.getPull(pull.id)).reading?.deep?.slips.at(-1)?.fromN ?? Number.NaN;
    expect(Math.abs((await slipN()) - 12_000)).toBeLessThan(4);
    valueIn(await app.change("load-cell", cell.id, 1, { calibrationPoints: showsTwoPercentMore }));
    expect(Math.abs((await slipN()) - 12_000 / 1.02)).toBeLessThan(4);
    valueIn(await app.change("load-cell", cell.id, 2, { calibrationPoints: [] }));
    expect(Math.abs((await slipN()) - 12_000)).toBeLessThan(4);
  });

  it("is applied when its points are entered, to every reading that rests on the cell, and taken off again", async () => {
    const { pulls, recording } = await imported([12, 8], bench.id);
    const before = await peakOf(idOf(pulls));
    expect(Math.abs(before.valueN - 12_000)).toBeLessThanOrEqual(before.expandedN);

    valueIn(await app.change("load-cell", cell.id, 1, { calibrationPoints: showsTwoPercentMore }));
    // What shows 2 % too much showed 12 kN: it was 12 / 1.02 kN.
    for (const [at, kn] of [12, 8].entries()) {
      const after = await peakOf(idOf(pulls, at));
      expect(Math.abs(after.valueN - (kn * 1000) / 1.02)).toBeLessThanOrEqual(after.expandedN);
      expect(after.valueN).toBeLessThan(kn * 990);
      expect(after.codes).not.toContain("READING_OUT_OF_DATE");
    }
    // Raw data stay untouched.
    expect(valueIn(await app.recordingBytes(recording.sha256))).toEqual(recordingOf([12, 8]));
    const [judged] = valueIn(await app.findings(series.id)).pulls;
    expect(judged?.strengthN).toBe((await peakOf(idOf(pulls))).valueN);

    valueIn(await app.change("load-cell", cell.id, 2, { calibrationPoints: [] }));
    expect((await peakOf(idOf(pulls))).valueN).toBe(before.valueN);
  });

  it("is used from the start where the bench is named at import", async () => {
    valueIn(await app.change("load-cell", cell.id, 1, { calibrationPoints: showsTwoPercentMore }));
    const { pulls, recording } = await imported([12], bench.id);
    const { valueN, expandedN, codes } = await peakOf(idOf(pulls));
    expect(Math.abs(valueN - 12_000 / 1.02)).toBeLessThanOrEqual(expandedN);
    expect(codes).not.toContain("READING_OUT_OF_DATE");
    expect(recording.readWith).toEqual([{ calibration: { points: showsTwoPercentMore }, pulls: [1] }]);
  });

  it("follows the pull to another bench, and the bench to another cell", async () => {
    const exact = await add(app, "load-cell", { name: "exact" });
    const other = await add(app, "load-cell", { name: "2 % more", calibrationPoints: showsTwoPercentMore });
    const second = await add(app, "bench", { name: "second", loadCellId: other.id });
    const { pulls } = await imported([12, 8], bench.id);
    const [first, next] = pulls as [StoredPull, StoredPull];
    const plain = await peakOf(first.id);
    // One pull of two: each is read with its own cell.
    const moved = valueIn(await app.change("pull", first.id, first.revision, { benchId: second.id }));
    expect((await peakOf(first.id)).valueN / plain.valueN).toBeCloseTo(1 / 1.02, 6);
    expect(Math.abs((await peakOf(next.id)).valueN - 8000)).toBeLessThan(30);
    for (const pull of [first, next])
      expect((await peakOf(pull.id)).codes).not.toContain("READING_OUT_OF_DATE");
    valueIn(await app.change("bench", second.id, 1, { loadCellId: exact.id }));
    expect((await peakOf(first.id)).valueN).toBe(plain.valueN);
    expect(moved.revision).toBe(first.revision + 1);
  });

  it("is applied to many pulls of one log in one reading, when they are said to be of another bench", async () => {
    const { pulls } = await imported([12, 8, 9]);
    let reads = 0;
    const counting = createApp({
      ...effects,
      readRecording: (...all) => {
        reads += 1;
        return effects.readRecording(...all);
      },
    });
    valueIn(await app.change("load-cell", cell.id, 1, { calibrationPoints: showsTwoPercentMore }));
    const named = pulls.map(({ id, revision }) => ({ id, revision }));
    const changed = valueIn(await counting.changePulls({ pulls: named, patch: { benchId: bench.id } }));
    expect(changed.map(({ id, benchId }) => [id, benchId])).toEqual(pulls.map(({ id }) => [id, bench.id]));
    expect(reads).toBe(1);
    for (const [at, kn] of [12, 8, 9].entries()) {
      const { valueN, expandedN, codes } = await peakOf(idOf(pulls, at));
      expect(Math.abs(valueN - (kn * 1000) / 1.02)).toBeLessThanOrEqual(expandedN);
      expect(codes).not.toContain("READING_OUT_OF_DATE");
    }

    // All or none: the second was changed meanwhile.
    const stale = changed.map(({ id, revision }, at) => ({ id, revision: at === 1 ? 1 : revision }));
    const refused = await counting.changePulls({ pulls: stale, patch: { operator: "me" } });
    expect(problemOf(refused)).toMatchObject({ code: "BOOK_CHANGED", where: { field: "pulls[1]" } });
    expect((await app.list("pull")).map(({ operator }) => operator)).toEqual(["", "", ""]);
    expect(problemOf(await app.changePulls({ pulls: named, patch: { overrides: [] } }))).toMatchObject({
      where: { field: "overrides" },
    });
    expect(problemOf(await app.changePulls({ pulls: [], patch: {} }))).toMatchObject({ code: "INPUT_FIELD" });
  });

  it("travels with its doubts to findings and report: out of date, outside its range, one point", async () => {
    const specimen = await add(app, "specimen", { seriesId: series.id, label: "A1" });
    const { pulls } = await imported([12], bench.id);
    const [pull] = pulls as [StoredPull];
    valueIn(
      await app.change("pull", pull.id, pull.revision, {
        specimenId: specimen.id,
        outcome: { kind: "broke", place: "throat" },
      }),
    );
    valueIn(
      await app.change("load-cell", cell.id, 1, {
        calibratedOn: "2019-01-31",
        calibrationPoints: [{ appliedN: 5000, indicatedN: 5010 }],
      }),
    );
    const [judged] = valueIn(await app.findings(series.id)).pulls;
    const codes = judged?.warnings.map(({ code }) => code);
    expect(codes).toEqual(
      expect.arrayContaining(["READING_CELL_ONE_POINT", "READING_CELL_OUT_OF_DATE", "READING_CELL_RANGE"]),
    );
    const page = valueIn(await app.previewReport(series.id));
    for (const { message } of judged?.warnings ?? []) expect(text(page)).toContain(text(message));
  });

  it("is never silently out of date: what could not be read again says so, and is read again by asking", async () => {
    const { pulls } = await imported([12], bench.id);
    const before = await peakOf(idOf(pulls));
    let broken = true;
    const failing = createApp({
      ...effects,
      readRecording: async (...all) =>
        broken
          ? { ok: false, problems: [{ code: "TRACE_STOPPED", message: "stopped" }] }
          : effects.readRecording(...all),
    });
    const changed = await failing.change("load-cell", cell.id, 1, { calibrationPoints: showsTwoPercentMore });
    expect(changed).toMatchObject({ ok: true, warnings: [{ code: "READING_OUT_OF_DATE" }] });
    const stale = await peakOf(idOf(pulls));
    expect(stale.valueN).toBe(before.valueN);
    expect(stale.codes).toContain("READING_OUT_OF_DATE");
    const [judged] = valueIn(await app.findings(series.id)).pulls;
    expect(judged?.warnings.map(({ code }) => code)).toContain("READING_OUT_OF_DATE");
    expect(valueIn(await failing.reread({}))).toMatchObject({
      refused: [{ problems: [{ message: "stopped" }] }],
    });
    broken = false;
    expect(valueIn(await failing.reread({})).refused).toEqual([]);
    expect((await peakOf(idOf(pulls))).codes).not.toContain("READING_OUT_OF_DATE");
  });
});

describe("reading again", () => {
  it("changes nothing where nothing changed", async () => {
    const { pulls } = await imported([12, 8], bench.id);
    expect(valueIn(await app.reread({}))).toEqual({ dryRun: false, recordings: 1, changes: [], refused: [] });
    expect(valueIn(await app.getPull(idOf(pulls)))).toEqual(pulls[0]);
  });

  it("changes nothing of the demo, whose readings rest on its own cells", async () => {
    const fresh = (await openApp()).app;
    expect(valueIn(await fresh.loadDemo())).toBe(true);
    const [demo] = await fresh.list("series");
    for (const { reading } of valueIn(await fresh.overview(demo?.id ?? "")).pulls)
      expect(reading?.warnings.map(({ code }) => code)).not.toContain("READING_OUT_OF_DATE");
    expect(valueIn(await fresh.reread({}))).toMatchObject({ changes: [], refused: [] });
  });

  it("says what another method reads otherwise, first without storing it; corrections and reports stay", async () => {
    const { pulls } = await imported([12, 8]);
    const [first, second] = pulls as [StoredPull, StoredPull];
    const report = valueIn(await app.publishReport(series.id));
    const page = valueIn(await app.report(report.id)).html;
    const phase = first.reading?.deep?.phases.find(({ name }) => name === "ramp");
    const corrected = valueIn(
      await app.override(first.id, first.revision, {
        what: "boundary",
        fromRow: phase?.fromRow,
        toRow: (phase?.fromRow ?? 0) + 3,
        by: "me",
      }),
    );
    // A made-up later method: it reads each rest 10 N higher, and no longer takes the second load for a pull.
    const later = createApp({
      ...effects,
      readRecording: async (...all) => {
        const read = await effects.readRecording(...all);
        if (!read.ok) return read;
        const kept = read.value.pulls.slice(0, 1).map((pull) => ({ ...pull, restN: (pull.restN ?? 0) + 10 }));
        return ok({ ...read.value, method: { name: "reading", version: "later" }, pulls: kept });
      },
    });
    const dry = valueIn(await later.reread({ seriesId: series.id, dryRun: true }));
    const restN = first.reading?.restN ?? 0;
    const about = { recordingSha256: first.recordingSha256, fileName: "day-1.csv", toMethod: "later" };
    expect(dry.changes).toMatchObject([
      { ...about, pullId: first.id, field: "restN", from: restN, to: restN + 10 },
      { ...about, pullId: second.id, field: "pull", from: "was read" },
    ]);
    expect(valueIn(await app.getPull(first.id)).machineReading?.restN).toBe(restN);

    expect(valueIn(await later.reread({})).changes).toEqual(dry.changes);
    const after = valueIn(await app.getPull(first.id));
    expect(after.machineReading?.restN).toBe(restN + 10);
    expect(after.overrides).toEqual(corrected.overrides);
    expect(after.reading?.deep?.phases).toEqual(corrected.reading?.deep?.phases);
    // The second pull's record stays, without a reading; what it was judged to be is not lost.
    const lost = valueIn(await app.getPull(second.id));
    expect(lost).not.toHaveProperty("reading");
    expect(lost).not.toHaveProperty("recordingPull");
    expect(valueIn(await app.report(report.id)).html).toBe(page);
    // A method that shows it again finds its record again, with what was entered of it.
    expect(valueIn(await app.reread({})).changes.at(-1)).toMatchObject({
      pullId: second.id,
      field: "pull",
      to: "is read again",
    });
    expect(valueIn(await app.getPull(second.id))).toMatchObject({
      recordingPull: 2,
      reading: second.reading,
    });
    expect(await app.list("pull")).toHaveLength(2);
    expect(valueIn(await app.getRecording(second.recordingSha256 ?? "")).stretches).toEqual([]);
  });

  it("makes a record for a pull that was not there before, on the bench of the others", async () => {
    const fewer = createApp({
      ...effects,
      readRecording: async (...all) => {
        const read = await effects.readRecording(...all);
        return read.ok ? ok({ ...read.value, pulls: read.value.pulls.slice(0, 1) }) : read;
      },
    });
    const bytes = [recordingOf([12, 8])];
    const request = { seriesId: series.id, fileName: "day-1.csv", bytes, layout, benchId: bench.id };
    expect(valueIn(await fewer.importRecording(request)).pulls).toHaveLength(1);
    const { changes } = valueIn(await app.reread({}));
    expect(changes).toMatchObject([
      { field: "pull", to: expect.stringMatching(/^found in rows \d+ to \d+$/) },
    ]);
    const { pulls } = valueIn(await app.overview(series.id));
    expect(pulls.map(({ recordingPull, order, benchId }) => [recordingPull, order, benchId])).toEqual([
      [1, 1, bench.id],
      [2, 2, bench.id],
    ]);
    expect(pulls[1]?.reading?.peakN).toBe(8020);
  });

  it("reads a recording by another layout, and keeps the pulls that it still shows", async () => {
    const { pulls, recording } = await imported([12, 8]);
    valueIn(await app.traceWindow(recording.sha256, { columns: 10 }));
    const inLbf = { ...layout, force: { ...layout.force, unit: "lbf" } };
    const read = valueIn(await app.changeLayout(recording.sha256, inLbf));
    expect(read.recording.layout).toEqual(inLbf);
    expect(read.pulls.map(({ id }) => id)).toEqual(pulls.map(({ id }) => id));
    // The file's 12.02 are pounds-force now; 1 lbf = 4.4482216152605 N (NIST SP 811, exact).
    expect(read.pulls[0]?.reading?.peakN).toBeCloseTo(12.02 * 4.4482216152605, 9);
    expect(read.changes.find(({ field }) => field === "peakN")).toMatchObject({ from: 12_020 });
    const window = valueIn(await app.traceWindow(recording.sha256, { columns: 10 }));
    expect(Math.max(...window.highN.map((high) => high ?? 0))).toBeCloseTo(12.02 * 4.4482216152605, 9);
    // A layout by which the file cannot be read changes nothing.
    const wrong = { ...layout, separator: ";" };
    expect((await app.changeLayout(recording.sha256, wrong)).ok).toBe(false);
    expect(valueIn(await app.getRecording(recording.sha256)).layout).toEqual(inLbf);
    expect(problemOf(await app.changeLayout(recording.sha256, { ...layout, decimal: "x" }))).toMatchObject({
      where: { field: "decimal" },
    });
  });

  it("reads once more when the book was changed meanwhile", async () => {
    const { pulls } = await imported([12], bench.id);
    let reads = 0;
    const interrupted = createApp({
      ...effects,
      readRecording: async (...all) => {
        reads += 1;
        if (reads === 1)
          await effects.store.transaction(async (book) => {
            const { id, revision, createdAt: _, changedAt: __, ...fields } = cell;
            await book.update("load-cell", id, revision, effects.now(), {
              ...fields,
              calibrationPoints: showsTwoPercentMore,
            });
          });
        return effects.readRecording(...all);
      },
    });
    valueIn(await interrupted.reread({}));
    expect(reads).toBe(2);
    const { valueN, expandedN, codes } = await peakOf(idOf(pulls));
    expect(Math.abs(valueN - 12_000 / 1.02)).toBeLessThanOrEqual(expandedN);
    expect(codes).not.toContain("READING_OUT_OF_DATE");
  });

  it.each([
    [{ seriesId: "ser-none" }, { code: "BOOK_NOT_FOUND" }],
    [{ dryrun: true }, { code: "INPUT_UNKNOWN", where: { field: "dryrun" } }],
    [{ dryRun: "yes" }, { code: "INPUT_FIELD", where: { field: "dryRun" } }],
  ])("refuses %j", async (input, problem) => {
    expect(problemOf(await app.reread(input))).toMatchObject(problem);
  });
});

/** Text as it reads on a page: without the spaces that keep figures together, and without what HTML escapes. */
function text(markup: string): string {
  return markup
    .replaceAll("\u00a0", " ")
    .replaceAll("&#39;", "'")
    .replaceAll("&quot;", '"')
    .replaceAll("&amp;", "&");
}
