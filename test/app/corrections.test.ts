import { beforeEach, describe, expect, it } from "vitest";
import type { App, StoredPull, StoredRecord } from "../../src/app/mod.ts";
import { applyOverrides } from "../../src/app/use-cases/apply-overrides.ts";
import type { Override } from "../../src/series/mod.ts";
import { fitCell, type PullReading } from "../../src/trace/mod.ts";
import { add, layout, openApp, problemOf, recordingOf, valueIn } from "./open-app.ts";

const made = { by: "me", at: "2024-05-01T08:00:00.000Z", why: "" };

/** A reading by hand: rest, set, hold, ramp with one slip, collapse. */
const machine: PullReading = {
  index: 1,
  startRow: 100,
  endRow: 1000,
  peakN: 10_000,
  peakRow: 900,
  restN: 0,
  netPeakN: 10_000,
  drops: [],
  end: "collapse",
  noiseN: 1,
  warnings: [],
  deep: {
    phases: [
      { name: "rest", fromRow: 1, toRow: 100, fromS: 0, toS: 9.9 },
      { name: "set", fromRow: 100, toRow: 200, fromS: 9.9, toS: 19.9 },
      { name: "hold", fromRow: 200, toRow: 500, fromS: 19.9, toS: 49.9 },
      { name: "ramp", fromRow: 500, toRow: 900, fromS: 49.9, toS: 89.9 },
      { name: "collapse", fromRow: 900, toRow: 1000, fromS: 89.9, toS: 99.9 },
    ],
    hold: {
      fromRow: 200,
      toRow: 500,
      fromS: 19.9,
      toS: 49.9,
      startN: 3000,
      endN: 2900,
      settling: {
        perDecade: { value: 0.02, interval: [0.018, 0.022] },
        perDecadeAicc: 1,
        exponent: { value: 0.01, interval: [0.009, 0.011] },
        exponentAicc: 2,
        preferred: "log-time",
      },
    },
    strokes: 0,
    slips: [{ row: 700, timeS: 69.9, fromN: 6000, toN: 5000 }],
    firstSlipN: 6000,
    timeToPeakS: 80,
  },
};

function corrected(...overrides: readonly Override[]) {
  return applyOverrides(machine, overrides);
}

describe("corrections of a reading", () => {
  it("leave the machine's reading itself where there are none, or none that touch it", () => {
    expect(corrected().reading).toBe(machine);
    expect(corrected({ what: "other load", ...made }).reading).toBe(machine);
  });

  it("move the boundary at which two phases meet, both of them and nothing else", () => {
    const { reading, lost } = corrected({
      what: "boundary",
      phase: "ramp",
      edge: "start",
      fromRow: 500,
      toRow: 520,
      toS: 51.9,
      forceN: 2890,
      ...made,
    });
    expect(lost).toEqual([]);
    const phases = reading.deep?.phases ?? [];
    expect(phases.map(({ fromRow, toRow }) => [fromRow, toRow])).toEqual([
      [1, 100],
      [100, 200],
      [200, 520],
      [520, 900],
      [900, 1000],
    ]);
    expect([phases[2]?.toS, phases[3]?.fromS]).toEqual([51.9, 51.9]);
    // The hold ends there, at the force that was measured there; what was fitted to other samples is not given.
    expect(reading.deep?.hold).toEqual({
      fromRow: 200,
      toRow: 520,
      fromS: 19.9,
      toS: 51.9,
      startN: 3000,
      endN: 2890,
    });
    expect(reading.warnings.map(({ code }) => code)).toEqual(["READING_CORRECTED"]);
    expect(machine.deep?.hold?.settling).toBeDefined();
  });

  it("let the time to the peak follow the row at which the load begins, and no other boundary", () => {
    const moved = (phase: "set" | "ramp", fromRow: number, toRow: number) =>
      corrected({
        what: "boundary",
        phase,
        edge: "start",
        fromRow,
        toRow,
        toS: (toRow - 1) / 10,
        ...made,
      }).reading.deep?.timeToPeakS;
    // The peak stands at 89.9 s; the load begins at 14.9 s in place of 9.9 s.
    expect(moved("set", 100, 150)).toBeCloseTo(89.9 - 14.9, 9);
    expect(moved("ramp", 500, 520)).toBe(80);
  });

  it("strike out and add slips, and the first slip follows", () => {
    const struck = corrected({ what: "strike slip", fromRow: 700, ...made }).reading.deep;
    expect(struck?.slips).toEqual([]);
    expect(struck).not.toHaveProperty("firstSlipN");
    const added = corrected({
      what: "add slip",
      fromRow: 600,
      toRow: 605,
      fromS: 59.9,
      fromN: 4500,
      toN: 4000,
      ...made,
    });
    expect(added.reading.deep?.slips.map(({ row }) => row)).toEqual([600, 700]);
    expect(added.reading.deep?.firstSlipN).toBe(4500);
    const both = corrected(
      { what: "add slip", fromRow: 600, toRow: 605, fromN: 4500, toN: 4000, ...made },
      { what: "strike slip", fromRow: 600, ...made },
    );
    expect(both.reading.deep?.slips).toEqual(machine.deep?.slips);
  });

  it("are corrected by the cell's certificate as the reading's own forces are, whatever it was when they were made", () => {
    // A cell that shows a quarter too much: what was read as 2500 N net was 2000 N.
    const cell = fitCell({ points: [{ appliedN: 4000, indicatedN: 5000 }] });
    const laid = (override: Override) => applyOverrides(machine, [override], cell).reading.deep;
    const slip = laid({ what: "add slip", fromRow: 600, toRow: 605, fromN: 2500, toN: 1250, ...made });
    expect(slip?.slips[0]).toMatchObject({ fromN: 2000, toN: 1000 });
    expect(slip?.firstSlipN).toBe(2000);
    const boundary = { what: "boundary", phase: "ramp", edge: "start", fromRow: 500, toRow: 520 } as const;
    expect(laid({ ...boundary, forceN: 2500, ...made })?.hold?.endN).toBe(2000);
    expect(laid({ ...boundary, ...made })?.hold?.endN).toBe(machine.deep?.hold?.endN);
  });

  it("find their object where it was read a little elsewhere, and are lost with a warning where it is gone", () => {
    // Within a hundredth of the pull's 900 rows.
    expect(corrected({ what: "strike slip", fromRow: 705, ...made }).reading.deep?.slips).toEqual([]);
    const gone: Override[] = [
      { what: "strike slip", fromRow: 300, ...made },
      { what: "boundary", phase: "bedding", edge: "start", fromRow: 100, toRow: 110, ...made },
      // Beyond the neighbouring boundary.
      { what: "boundary", phase: "ramp", edge: "start", fromRow: 500, toRow: 950, ...made },
    ];
    const { reading, lost } = corrected(...gone);
    expect(lost).toEqual(gone);
    expect(reading.deep).toBe(machine.deep);
    expect(reading.warnings.map(({ code }) => code)).toEqual(gone.map(() => "READING_CORRECTION_LOST"));
  });

  it("move the end of the last phase and the start of the first", () => {
    const { reading } = corrected(
      { what: "boundary", phase: "collapse", edge: "end", fromRow: 1000, toRow: 980, ...made },
      { what: "boundary", phase: "rest", edge: "start", fromRow: 1, toRow: 11, ...made },
    );
    expect(reading.deep?.phases.at(-1)).toEqual({ name: "collapse", fromRow: 900, toRow: 980, fromS: 89.9 });
    expect(reading.deep?.phases[0]).toEqual({ name: "rest", fromRow: 11, toRow: 100, toS: 9.9 });
  });
});

describe("correcting a pull of the book", () => {
  let app: App;
  let series: StoredRecord<"series">;
  let pulls: readonly StoredPull[];
  let sha256: string;
  beforeEach(async () => {
    ({ app } = await openApp());
    series = await add(app, "series", { title: "t" });
    const imported = valueIn(
      await app.importRecording({
        seriesId: series.id,
        fileName: "day-1.csv",
        // A small load between two pulls: no pull, but one that a person may want to count.
        bytes: [recordingOf([12, 2, 8])],
        layout,
      }),
    );
    pulls = imported.pulls;
    sha256 = imported.recording.sha256;
  });

  it("keeps each correction beside the reading, with who, when and why; undo takes back the last or any", async () => {
    const [pull] = pulls as [StoredPull];
    const ramp = pull.reading?.deep?.phases.find(({ name }) => name === "ramp");
    const from = ramp?.fromRow ?? 0;
    const once = valueIn(
      await app.override(pull.id, pull.revision, {
        what: "boundary",
        fromRow: from,
        toRow: from + 5,
        by: "me",
        why: "slack",
      }),
    );
    expect(once.overrides).toMatchObject([
      {
        what: "boundary",
        phase: "ramp",
        edge: "start",
        fromRow: from,
        toRow: from + 5,
        by: "me",
        why: "slack",
      },
    ]);
    expect(once.overrides[0]?.at).toBe("2024-05-01T08:00:00.000Z");
    expect(once.machineReading).toEqual(pull.reading);
    expect(once.reading?.deep?.phases.find(({ name }) => name === "ramp")?.fromRow).toBe(from + 5);
    expect(valueIn(await app.getRecording(sha256)).reading.pulls[0]).toEqual(pull.reading);
    // Somebody who saw the pull before that cannot correct over it.
    expect(problemOf(await app.override(pull.id, pull.revision, { what: "other load" }))).toMatchObject({
      code: "BOOK_CHANGED",
    });

    // A slip at half of the ramp: by construction the force there rises 10 N with each row, so none can be added upward.
    const middle = from + 500;
    expect(
      problemOf(
        await app.override(pull.id, once.revision, { what: "add slip", fromRow: middle, toRow: middle + 5 }),
      ),
    ).toMatchObject({ where: { field: "toRow" } });
    const twice = valueIn(await app.override(pull.id, once.revision, { what: "other load", by: "me" }));
    expect(valueIn(await app.findings(series.id)).pulls[0]).toMatchObject({
      use: "left out",
      whyLeftOut: "no pull but another load: as me said",
    });
    const back = valueIn(await app.undo(pull.id, twice.revision, 1));
    expect(back.overrides.map(({ what }) => what)).toEqual(["other load"]);
    const clean = valueIn(await app.undo(pull.id, back.revision));
    expect(clean.overrides).toEqual([]);
    expect(clean.reading).toEqual(pull.reading);
    expect(clean).not.toHaveProperty("machineReading");
    expect(problemOf(await app.undo(pull.id, clean.revision))).toMatchObject({ code: "BOOK_NOT_FOUND" });
  });

  it("makes a pull of an other load, which is read by itself and stays when all is read again", async () => {
    const other = valueIn(await app.getRecording(sha256)).reading.otherLoads[0];
    expect(pulls).toHaveLength(2);
    if (other === undefined) throw new Error("the small load is listed as an other load");
    const rows = { fromRow: other.startRow, toRow: other.endRow };
    const pull = valueIn(await app.addPullOfRows(sha256, { ...rows, by: "me" }));
    // Made with a peak of 2 kN over a rest of 20 N, of which the peak's own sample carries no noise.
    expect(pull.reading?.peakN).toBe(2020);
    const { valueN = 0, expandedN = 0 } = pull.reading?.deep?.peak ?? {};
    expect(Math.abs(valueN - 2000)).toBeLessThanOrEqual(expandedN);
    // The first pull takes 200 + 1200 + 1 + 200 rows; after 200 of rest the small load's 200 begin, and its peak.
    expect(Math.abs((pull.reading?.startRow ?? 0) - 1802)).toBeLessThanOrEqual(10);
    expect(pull.reading?.peakRow).toBe(2002);
    expect(pull).toMatchObject({ order: 3, overrides: [{ what: "pull", ...rows, by: "me" }] });
    // The same rows, some of them, or those of a pull that was read, are no second pull; it is named which has them.
    const [first] = pulls as [StoredPull];
    for (const [taken, fromRow, toRow] of [
      [pull, rows.fromRow, rows.toRow],
      [pull, rows.toRow - 5, rows.toRow + 5],
      [first, first.reading?.startRow ?? 0, (first.reading?.startRow ?? 0) + 50],
    ] as const) {
      const refused = problemOf(await app.addPullOfRows(sha256, { fromRow, toRow }));
      expect(refused).toMatchObject({ code: "BOOK_ROWS_TAKEN", where: { field: "fromRow" } });
      expect(refused?.found).toContain(`${taken.id}, rows `);
    }
    expect(valueIn(await app.overview(series.id)).pulls).toHaveLength(3);
    expect(valueIn(await app.overview(series.id)).pulls).toHaveLength(3);
    expect(valueIn(await app.reread({})).changes).toEqual([]);
    expect(valueIn(await app.getPull(pull.id))).toEqual(pull);
    expect(problemOf(await app.undo(pull.id, pull.revision))).toMatchObject({
      wayOut: "Remove the pull itself.",
    });
    // Its outcome is entered like any other's.
    const judged = valueIn(
      await app.change("pull", pull.id, pull.revision, { outcome: { kind: "broke", place: "bury" } }),
    );
    expect(judged.outcome).toEqual({ kind: "broke", place: "bury" });
    valueIn(await app.remove("pull", pull.id));
  });

  it.each([
    [{ what: "boundary", fromRow: 7, toRow: 9 }, "fromRow"],
    [{ what: "strike slip", fromRow: 7 }, "fromRow"],
    [{ what: "boundary", fromRow: 0, toRow: 9 }, "fromRow"],
    [{ what: "guess" }, "what"],
    [{ what: "other load", at: "2000-01-01" }, "at"],
  ])("refuses %j", async (input, field) => {
    const [pull] = pulls as [StoredPull];
    expect(problemOf(await app.override(pull.id, pull.revision, input))).toMatchObject({ where: { field } });
    expect(valueIn(await app.getPull(pull.id))).toEqual(pull);
  });

  it("refuses rows without a load, rows that are not there, and corrections by the way", async () => {
    expect(problemOf(await app.addPullOfRows(sha256, { fromRow: 10, toRow: 60 }))).toMatchObject({
      code: "READING_NO_PULL",
    });
    expect(problemOf(await app.addPullOfRows(sha256, { fromRow: 10, toRow: 1e6 }))).toMatchObject({
      where: { field: "toRow" },
    });
    expect(problemOf(await app.addPullOfRows(sha256, { fromRow: 10, toRow: 10 }))).toMatchObject({
      where: { field: "toRow" },
    });
    const [pull] = pulls as [StoredPull];
    expect(problemOf(await app.change("pull", pull.id, pull.revision, { overrides: [] }))).toMatchObject({
      where: { field: "overrides" },
    });
    const typed = await add(app, "pull", { seriesId: series.id, typedPeakN: 9000 });
    expect(problemOf(await app.override(typed.id, 1, { what: "other load" }))).toMatchObject({
      code: "READING_NO_PULL",
    });
    // Rows alone, without somebody who named them, are no pull.
    expect(
      problemOf(await app.create("pull", { seriesId: series.id, recordingSha256: sha256 })),
    ).toMatchObject({ where: { field: "recordingPull" } });
  });
});
