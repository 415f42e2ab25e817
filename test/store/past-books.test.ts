import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import Sqlite from "better-sqlite3";
import { afterEach, beforeEach, expect, it } from "vitest";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { valueIn } from "../app/open-app.ts";

// Books as past versions of the program made them, written out as SQL: each still opens, with all that it held. No
// program kept a book of schema 4: it came together with schema 5.

const books = join(dirname(fileURLToPath(import.meta.url)), "books");
let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "bitterend-past-"));
  path = join(folder, "loft.book");
});
afterEach(() => rmSync(folder, { recursive: true }));

it("opens a book of schema 1: all is there, and its readings can be made again", async () => {
  const { app, close } = await openPast("schema-0001.sql");

  // What stands in the SQL text.
  const [series] = await app.list("series");
  expect(series?.title).toBe("Does bury matter?");
  const held = valueIn(await app.overview(series?.id ?? ""));
  expect(held.ropes[0]?.notes).toBe('it\'s "quoted"; – Ø');
  expect(held.specimens[0]?.levels).toEqual({ bury: 20 });
  expect(held.loadCells[0]).toMatchObject({
    capacityN: 50_000,
    calibratedOn: "2024-01-31",
    calibrationPoints: [],
  });
  expect(held.loadCells[0]).not.toHaveProperty("accuracyClass");
  expect(held.pictures.map(({ caption }) => caption)).toEqual(["the throat"]);
  expect(valueIn(await app.report("rep-1")).html).toBe("<!doctype html><p>a page — frozen</p>");
  const [pull, stopped] = held.pulls;
  expect(pull).toMatchObject({ overrides: [], outcome: { kind: "broke", place: "throat" } });
  expect(stopped).toMatchObject({ typedPeakN: 11_000.5, outcome: { kind: "stopped", reason: "cell" } });
  // The file's own peak: 12.020 kN as recorded. It was read before a cell's knowledge counted, and says so.
  expect(pull?.reading?.peakN).toBe(12_020);
  expect(pull?.reading?.warnings.map(({ code }) => code)).toContain("READING_OUT_OF_DATE");

  const again = valueIn(await app.reread({}));
  expect(again).toMatchObject({ recordings: 1, refused: [] });
  expect(again.changes.every(({ fromMethod, pullId }) => fromMethod === "1" && pullId === pull?.id)).toBe(
    true,
  );
  const after = valueIn(await app.getPull(pull?.id ?? ""));
  expect(after.reading?.peakN).toBe(12_020);
  expect(after.reading?.warnings.map(({ code }) => code)).not.toContain("READING_OUT_OF_DATE");
  expect(valueIn(await app.report("rep-1")).html).toBe("<!doctype html><p>a page — frozen</p>");
  await close();
});

it("opens a book of schema 2: its recipe's version is kept, and its specimen was made by that one", async () => {
  const { app, read, close } = await openPast("schema-0002.sql");

  // What stands in the SQL text, and the defaults of what came since.
  const [recipe] = await app.list("recipe");
  const said = {
    name: "30 d",
    kind: "crossed-tail loop",
    buryFullDiameters: 30.5,
    buryTaperDiameters: 10,
    lockStitch: "six passes",
    notes: 'it\'s "my" way',
    taperStrandsLeft: 2,
    strandsEachSide: 6,
    crossings: 0,
    numbers: {},
    steps: [],
    burySource: "",
    basedOn: "",
    legs: 2,
    wraps: 1,
  };
  expect(recipe).toMatchObject({ ...said, revision: 3 });
  expect(await read.recipeVersions()).toEqual([
    { recipeId: recipe?.id, revision: 3, changedAt: "2024-05-01T09:00:00.000Z", fields: said },
  ]);
  const [specimen] = await app.list("specimen");
  expect(specimen).toMatchObject({
    recipeId: recipe?.id,
    recipeRevision: 3,
    cutLengthMm: 1890.5,
    finishedLengthMm: 700,
    buryFullMm: 183,
    buryTaperMm: 60,
    picksPerStep: [],
    redo: "",
  });
  expect(specimen).not.toHaveProperty("wanted");
  expect((await app.list("spool"))[0]).toMatchObject({ otherUseM: 0, currency: "" });

  // Changed now, the recipe has two versions, and the specimen stays with the one that it was made by.
  valueIn(await app.change("recipe", recipe?.id ?? "", 3, { buryFullDiameters: 36 }));
  expect((await read.recipeVersions(recipe?.id)).map(({ revision }) => revision)).toEqual([3, 4]);
  valueIn(await app.change("specimen", specimen?.id ?? "", 1, { buryFullMm: 180 }));
  expect(valueIn(await app.get("specimen", specimen?.id ?? "")).recipeRevision).toBe(3);
  await close();
});

it("opens a book of schema 3: its series states the bound that was given of every series before", async () => {
  const { app, close } = await openPast("schema-0003.sql");
  const [series] = await app.list("series");
  expect(series).toMatchObject({
    title: "Does bury matter?",
    boundMethod: "normal",
    boundContent: 0.95,
    boundConfidence: 0.95,
  });
  const changed = valueIn(
    await app.change("series", series?.id ?? "", series?.revision ?? 0, { boundMethod: "weibull" }),
  );
  expect(changed).toMatchObject({ boundMethod: "weibull", boundContent: 0.95 });
  expect((await app.change("series", changed.id, changed.revision, { boundContent: 1 })).ok).toBe(false);
  await close();
});

it("opens a book of schema 5: claims and other series stand beside their series, with the bound that it states", async () => {
  const { app, close } = await openPast("schema-0005.sql");
  const [series] = await app.list("series");
  expect(series).toMatchObject({ boundMethod: "weibull", boundContent: 0.9, boundConfidence: 0.95 });
  const held = valueIn(await app.overview(series?.id ?? ""));
  expect(held.claims).toMatchObject([
    {
      statement: "holds 90 % – Ø",
      source: "a maker's leaflet",
      basis: "rated single line",
      share: 0.9,
      notes: 'it\'s "theirs"',
    },
  ]);
  const [other] = await app.list("pooled-series");
  expect(other).toMatchObject({ name: "the other shed", n: 5, basis: "force", meanN: 51_000.5, sdN: 2000.5 });
  // No rig stood in it yet; one can be kept now.
  expect(await app.list("rig")).toEqual([]);
  const load = { kind: "straight pull", loadN: 1000 };
  expect((await app.create("rig", { name: "new", load })).ok).toBe(true);
  await close();
});

it("opens a book of schema 6: its rig hangs as it did", async () => {
  const { app, close } = await openPast("schema-0006.sql");
  const [rig] = await app.list("rig");
  expect(rig).toMatchObject({
    name: "raft – Ø",
    load: { kind: "lift", loadN: 800.5, legs: 3, angleFromVerticalDeg: 30, legsCounted: 2 },
    parts: [
      { name: "loop", place: "in each leg", count: 2, strength: { from: "pulls", cell: "bury 20" } },
      {
        name: "ring",
        place: "above the legs",
        strength: { from: "rating", ratedN: 40_000, cv: 0.05, source: 'its maker\'s "leaflet"' },
      },
    ],
    wantedFactor: 5.5,
    wantedFactorSource: "the harbour's rule 7",
    overTime: "a summer in the sun",
  });
  // The ring alone can be assessed: 40 kN as a mean, less 3 · 5 %, over 800.5 N.
  const parts = rig?.parts.slice(1) ?? [];
  valueIn(await app.change("rig", rig?.id ?? "", rig?.revision ?? 0, { parts }));
  const assessed = valueIn(await app.assessRig(rig?.id ?? ""));
  expect(assessed.parts[0]?.margin).toBeCloseTo((40_000 * (1 - 3 * 0.05)) / 800.5, 9);
  await close();
});

it("opens a book of schema 7: the plan that was, and a place in the drawn order of pulling", async () => {
  const { app, close } = await openPast("schema-0007.sql");
  const [series] = await app.list("series");
  expect(series).toMatchObject({
    pullsPerCell: 2,
    planHistory: [
      { factors: [{ name: "bury", unit: "d", levels: [10, 20] }], pullsPerCell: 0, pullsThen: 2 },
    ],
  });
  const [specimen] = await app.list("specimen");
  expect(specimen).toMatchObject({ label: "A1", plannedOrder: 1 });
  expect(valueIn(await app.reread({}))).toMatchObject({ refused: [] });
  await close();
});

/** A past book, opened by the program as it is now. */
async function openPast(file: string) {
  const database = new Sqlite(path);
  database.exec(readFileSync(join(books, file), "utf8"));
  database.close();
  const opened = await openSqliteBook(path);
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const { value: book } = opened;
  return { app: createApp(nodeEffects(book)), read: book.read, close: () => book.close() };
}
