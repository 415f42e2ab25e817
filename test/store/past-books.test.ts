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

// Books as past versions of the program made them, written out as SQL: each still opens, with all that it held.

const books = join(dirname(fileURLToPath(import.meta.url)), "books");
let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "bitterend-past-"));
  path = join(folder, "loft.book");
});
afterEach(() => rmSync(folder, { recursive: true }));

it("opens a book of schema 1: all is there, and its readings can be made again", async () => {
  const database = new Sqlite(path);
  database.exec(readFileSync(join(books, "schema-0001.sql"), "utf8"));
  database.close();
  const opened = await openSqliteBook(path);
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));

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
  await opened.value.close();
});

it("opens a book of schema 2: its recipe's version is kept, and its specimen was made by that one", async () => {
  const database = new Sqlite(path);
  database.exec(readFileSync(join(books, "schema-0002.sql"), "utf8"));
  database.close();
  const opened = await openSqliteBook(path);
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));

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
  expect(await opened.value.read.recipeVersions()).toEqual([
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
  expect((await opened.value.read.recipeVersions(recipe?.id)).map(({ revision }) => revision)).toEqual([
    3, 4,
  ]);
  valueIn(await app.change("specimen", specimen?.id ?? "", 1, { buryFullMm: 180 }));
  expect(valueIn(await app.get("specimen", specimen?.id ?? "")).recipeRevision).toBe(3);
  await opened.value.close();
});

it("opens a book of schema 3: its series states the bound that was given of every series before", async () => {
  const database = new Sqlite(path);
  database.exec(readFileSync(join(books, "schema-0003.sql"), "utf8"));
  database.close();
  const opened = await openSqliteBook(path);
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));
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
  await opened.value.close();
});
