import { unzipSync, zipSync } from "fflate";
import { type App, createApp, type Effects, type StoredRecord } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { add, layout, recordingOf, valueIn } from "../app/open-app.ts";

/** A book in memory whose ids carry its name, so that no id of one book means anything in another. */
export async function bookOf(name: string, overrides: Partial<Effects> = {}): Promise<App> {
  const opened = await openSqliteBook(":memory:", { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  let count = 0;
  const effects: Effects = {
    ...nodeEffects(opened.value),
    now: () => "2024-05-01T08:00:00.000Z",
    newId: (prefix) => {
      count += 1;
      return `${prefix}-${name}${count}`;
    },
    ...overrides,
  };
  return createApp(effects);
}

/** The smallest PNG: one pixel. */
export const onePixel = Uint8Array.from(
  atob("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR4nGP4z8DwHwAFAAH/iZk9HQAAAABJRU5ErkJggg=="),
  (letter) => letter.charCodeAt(0),
);

/**
 * A series with everything that a bundle carries: two buries, recorded and typed pulls, a correction, a spool, a recipe in two
 * versions, a calibrated cell, a claim, a picture, and words that a spreadsheet would run.
 */
export async function fullSeries(
  app: App,
  { title = "Bury of a loop", peaksKn = [24.1, 24.9, 23.4, 27.2, 28.1, 27.7], salt = 0 } = {},
): Promise<StoredRecord<"series">> {
  const series = await add(app, "series", {
    title,
    question: 'Does "bury" matter;\r\n=HYPERLINK("x")?',
    tester: "Loft 7",
    method: "-slow, by hand\n\n* clean",
    factors: [{ name: "bury", unit: "d", levels: [24, 36] }],
    pullsPerCell: 3,
  });
  const rope = await add(app, "rope", {
    name: "=SUM(A1) line",
    nominalDiameterMm: 6,
    ratedStrengthN: 30_000,
    ratedStrengthBasis: "mean",
    ratedStrengthSource: "data sheet, 2023; ’quoted’",
  });
  const spool = await add(app, "spool", { ropeId: rope.id, name: "S1", lengthM: 100 });
  const recipe = await add(app, "recipe", {
    name: "crossed loop",
    kind: "crossed-tail loop",
    buryFullDiameters: 24,
    legs: 2,
  });
  await app.change("recipe", recipe.id, 1, { buryFullDiameters: 36, notes: "@longer" });
  const pin = await add(app, "hardware", { name: "16 mm pin", diameterMm: 16 });
  const cell = await add(app, "load-cell", {
    name: "50 kN cell",
    capacityN: 50_000,
    calibratedOn: "2024-01-15",
    calibrationPoints: [
      { appliedN: 10_000, indicatedN: 10_020 },
      { appliedN: 20_000, indicatedN: 20_030 },
      { appliedN: 40_000, indicatedN: 40_050 },
    ],
  });
  const bench = await add(app, "bench", {
    name: "shed",
    loadCellId: cell.id,
    nearHardwareId: pin.id,
    farHardwareId: pin.id,
  });
  const imported = valueIn(
    await app.importRecording({
      seriesId: series.id,
      fileName: `${title}.csv`,
      bytes: [recordingOf(peaksKn, 0.02 + salt / 1000)],
      layout,
      benchId: bench.id,
    }),
  );
  for (const [index, pull] of imported.pulls.entries()) {
    const long = index >= peaksKn.length / 2;
    const specimen = await add(app, "specimen", {
      seriesId: series.id,
      label: `${long ? "B" : "A"}${index + 1}`,
      spoolId: spool.id,
      recipeId: recipe.id,
      recipeRevision: long ? 2 : 1,
      levels: { bury: long ? 36 : 24 },
      buryFullMm: long ? 216 : 144,
      maker: "K",
      picksPerStep: [1, 1],
    });
    valueIn(
      await app.change("pull", pull.id, pull.revision, {
        specimenId: specimen.id,
        outcome: long ? { kind: "broke", place: "taper end" } : { kind: "slipped", place: "" },
        notes: index === 0 ? "+1 odd\r\n'=2" : "",
      }),
    );
  }
  const typed = await add(app, "specimen", {
    seriesId: series.id,
    label: "C1",
    ropeId: rope.id,
    recipeId: recipe.id,
    levels: { bury: 36 },
  });
  await add(app, "pull", {
    seriesId: series.id,
    specimenId: typed.id,
    typedPeakN: 26_100.5,
    outcome: { kind: "stopped", reason: "cell" },
    pulledAt: "2024-04-30T10:00:00Z",
  });
  await add(app, "claim", {
    seriesId: series.id,
    statement: "a loop bears 90 %",
    source: "catalogue, page 4",
    basis: "rated, all legs",
    share: 0.9,
  });
  valueIn(await app.addPicture({ kind: "series", id: series.id }, "throat.png", onePixel, "the throat"));
  return series;
}

/** The bundle with some of its files changed or taken out, packed again; its hashes stay as they were. */
export function changedZip(
  bytes: Uint8Array,
  changes: Readonly<Record<string, ((text: string) => string) | Uint8Array | null>>,
): Uint8Array {
  const files: Record<string, Uint8Array> = { ...unzipSync(bytes) };
  for (const [path, change] of Object.entries(changes)) {
    if (change === null) delete files[path];
    else if (change instanceof Uint8Array) files[path] = change;
    else {
      const was = new TextDecoder().decode(files[path]);
      const is = change(was);
      if (is === was) throw new Error(`nothing was changed in ${path}`);
      files[path] = new TextEncoder().encode(is);
    }
  }
  return zipSync(files, { level: 0 });
}

/** A file of a bundle as text. */
export function textIn(bytes: Uint8Array, path: string): string {
  const file = unzipSync(bytes)[path];
  if (file === undefined) throw new Error(`no ${path}`);
  return new TextDecoder().decode(file);
}
