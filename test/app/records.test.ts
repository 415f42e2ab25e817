import { beforeEach, describe, expect, it } from "vitest";
import type { App, StoredRecord } from "../../src/app/mod.ts";
import { add, openApp, problemOf, valueIn } from "./open-app.ts";

let app: App;
beforeEach(async () => {
  ({ app } = await openApp());
});

const rope = { name: "Loft line", nominalDiameterMm: 6 };

describe("creating", () => {
  it("completes the fields and gives id, revision and times", async () => {
    const made = await app.create("rope", { ...rope, name: "  Loft line " });
    expect(made).toEqual({
      ok: true,
      warnings: [],
      value: {
        id: "rop-1",
        revision: 1,
        createdAt: "2024-05-01T08:00:00.000Z",
        changedAt: "2024-05-01T08:00:00.000Z",
        name: "Loft line",
        nominalDiameterMm: 6,
        construction: "12-strand braid",
        fibre: "HMPE",
        ratedStrengthBasis: "not stated",
        ratedStrengthEnds: "not stated",
        ratedStrengthSource: "",
        coating: "",
        notes: "",
      },
    });
    expect(await app.get("rope", "rop-1")).toEqual(made);
    expect(await app.list("rope")).toEqual([valueIn(made)]);
  });

  it("says every fault with its field, what was found and what is wanted", async () => {
    const made = await app.create("rope", { nominalDiameterMm: -3, ratedStrengthBasis: "average", fibre: 7 });
    expect(made.ok).toBe(false);
    if (made.ok) return;
    expect(
      made.problems.map(({ code, where, found, expected }) => [code, where?.field, found, expected]),
    ).toEqual([
      ["INPUT_FIELD", "name", undefined, "text"],
      ["INPUT_FIELD", "fibre", "7", "text"],
      ["INPUT_FIELD", "nominalDiameterMm", "-3", "more than 0"],
      ["INPUT_FIELD", "ratedStrengthBasis", "average", 'one of "mean", "minimum", "not stated"'],
    ]);
    expect(await app.list("rope")).toEqual([]);
  });

  it.each([
    ["a text", "rope", "text"],
    ["nothing", undefined, undefined],
    ["a list", [], "[]"],
  ])("refuses %s in place of fields", async (_, input, found) => {
    expect(problemOf(await app.create("rope", input))).toMatchObject({
      code: "INPUT_FIELD",
      ...(found === undefined ? {} : { expected: "an object with named fields" }),
    });
  });

  it("refuses a field that it does not know and says which was meant", async () => {
    expect(problemOf(await app.create("rope", { ...rope, nominalDiametreMm: 6 }))).toMatchObject({
      code: "INPUT_UNKNOWN",
      where: { field: "nominalDiametreMm" },
      found: "nominalDiametreMm",
      wayOut: 'Did you mean "nominalDiameterMm"?',
    });
    expect(problemOf(await app.create("rope", { ...rope, id: "rop-9" }))).toMatchObject({
      code: "INPUT_UNKNOWN",
    });
  });

  it("finds unknown fields within nested ones, by their path", async () => {
    const input = { title: "t", factors: [{ name: "bury", units: "d", levels: [1] }] };
    expect(problemOf(await app.create("series", input))).toMatchObject({
      code: "INPUT_UNKNOWN",
      where: { field: "factors[0].units" },
      wayOut: 'Did you mean "unit"?',
    });
    const series = await add(app, "series", { title: "t" });
    const outcome = { kind: "broke", place: "throat", reason: "fun" };
    expect(problemOf(await app.create("pull", { seriesId: series.id, outcome }))).toMatchObject({
      code: "INPUT_UNKNOWN",
      where: { field: "outcome.reason" },
    });
    expect(
      problemOf(await app.create("pull", { seriesId: series.id, outcome: { kind: "burst" } })),
    ).toMatchObject({
      code: "INPUT_FIELD",
      where: { field: "outcome.kind" },
      found: "burst",
      expected: 'one of "broke", "slipped", "stopped", "void"',
    });
  });

  it("refuses text that no database can keep", async () => {
    for (const name of ["a\u0000b", "half \ud83e"])
      expect(problemOf(await app.create("rope", { ...rope, name }))).toMatchObject({
        code: "INPUT_FIELD",
        where: { field: "name" },
      });
    valueIn(await app.create("rope", { ...rope, name: "whole 🪢" }));
  });

  it("refuses a reference to nothing, naming the field", async () => {
    expect(problemOf(await app.create("spool", { ropeId: "rop-none", name: "s" }))).toMatchObject({
      code: "INPUT_FIELD",
      where: { field: "ropeId" },
      found: "rop-none",
    });
  });
});

describe("changing", () => {
  let stored: StoredRecord<"rope">;
  beforeEach(async () => {
    stored = await add(app, "rope", { ...rope, ratedStrengthN: 36_000, coating: "red" });
  });

  it("changes the given fields only and takes optional ones away by null", async () => {
    const changed = valueIn(
      await app.change("rope", stored.id, 1, { name: "Other", ratedStrengthN: null, coating: null }),
    );
    const { ratedStrengthN: _, ...others } = stored;
    expect(changed).toEqual({ ...others, name: "Other", coating: "", revision: 2 });
    expect(await app.get("rope", stored.id)).toMatchObject({ value: changed });
  });

  it("refuses to take a needed field away, to change the id, and a patch that is none", async () => {
    expect(problemOf(await app.change("rope", stored.id, 1, { name: null }))).toMatchObject({
      where: { field: "name" },
    });
    expect(problemOf(await app.change("rope", stored.id, 1, { id: "rop-7" }))).toMatchObject({
      code: "INPUT_UNKNOWN",
    });
    for (const patch of [null, 3, [], "name"])
      expect(problemOf(await app.change("rope", stored.id, 1, patch))).toMatchObject({ code: "INPUT_FIELD" });
    expect(await app.get("rope", stored.id)).toMatchObject({ value: stored });
  });

  it("refuses what was changed meanwhile", async () => {
    valueIn(await app.change("rope", stored.id, 1, { name: "First" }));
    expect(problemOf(await app.change("rope", stored.id, 1, { name: "Second" }))).toMatchObject({
      code: "BOOK_CHANGED",
      found: "revision 2",
    });
    expect(problemOf(await app.change("rope", "rop-none", 1, { name: "x" }))).toMatchObject({
      code: "BOOK_NOT_FOUND",
    });
  });
});

describe("removing", () => {
  it("refuses what is in use and says who uses it", async () => {
    const stored = await add(app, "rope", rope);
    const spool = await add(app, "spool", { ropeId: stored.id, name: "Spool 1" });
    expect(problemOf(await app.remove("rope", stored.id))).toMatchObject({
      code: "BOOK_IN_USE",
      found: 'spool "Spool 1"',
    });
    valueIn(await app.remove("spool", spool.id));
    valueIn(await app.remove("rope", stored.id));
    expect(problemOf(await app.remove("rope", stored.id))).toMatchObject({ code: "BOOK_NOT_FOUND" });
    expect(problemOf(await app.get("rope", stored.id))).toMatchObject({ code: "BOOK_NOT_FOUND" });
  });
});

describe("specimens", () => {
  let series: StoredRecord<"series">;
  beforeEach(async () => {
    series = await add(app, "series", {
      title: "t",
      factors: [{ name: "bury", unit: "d", levels: [10, 20] }],
    });
  });

  it("refuses a level of something that is no factor, and doubts a level outside the plan", async () => {
    const made = (levels: object) => app.create("specimen", { seriesId: series.id, label: "A1", levels });
    expect(problemOf(await made({ burry: 10 }))).toMatchObject({
      code: "INPUT_FIELD",
      where: { field: "levels.burry" },
      expected: 'a factor of the series: "bury"',
    });
    expect(await made({ bury: 15 })).toMatchObject({
      ok: true,
      warnings: [{ code: "INPUT_DOUBT", where: { field: "levels.bury" }, found: "15" }],
    });
  });

  it("refuses a label twice in one series", async () => {
    await add(app, "specimen", { seriesId: series.id, label: "A1" });
    expect(problemOf(await app.create("specimen", { seriesId: series.id, label: "A1" }))).toMatchObject({
      code: "BOOK_TAKEN",
      where: { field: "label" },
      found: "A1",
    });
  });

  it("stays in its series", async () => {
    const other = await add(app, "series", { title: "other" });
    const specimen = await add(app, "specimen", { seriesId: series.id, label: "A1" });
    expect(problemOf(await app.change("specimen", specimen.id, 1, { seriesId: other.id }))).toMatchObject({
      code: "INPUT_FIELD",
      where: { field: "seriesId" },
    });
  });

  it("doubts a rope that is not the spool's, and keeps it as a fact", async () => {
    const one = await add(app, "rope", rope);
    const two = await add(app, "rope", { ...rope, name: "Other" });
    const spool = await add(app, "spool", { ropeId: one.id, name: "s" });
    const made = await app.create("specimen", {
      seriesId: series.id,
      label: "A1",
      ropeId: two.id,
      spoolId: spool.id,
      buryFullMm: 0,
    });
    expect(made).toMatchObject({ ok: true, value: { ropeId: two.id }, warnings: [{ code: "INPUT_DOUBT" }] });
  });

  it("goes on when the series renames a factor: warned, and changeable one by one", async () => {
    const specimen = await add(app, "specimen", { seriesId: series.id, label: "A1", levels: { bury: 10 } });
    const renamed = await app.change("series", series.id, 1, {
      factors: [{ name: "full bury", unit: "d", levels: [10, 20] }],
    });
    expect(renamed).toMatchObject({ ok: true, warnings: [{ code: "INPUT_DOUBT", found: "bury" }] });
    valueIn(await app.change("specimen", specimen.id, 1, { notes: "still there" }));
    expect(problemOf(await app.change("specimen", specimen.id, 2, { levels: { bury: 20 } }))).toMatchObject({
      code: "INPUT_FIELD",
    });
    expect(await app.change("specimen", specimen.id, 2, { levels: { "full bury": 20 } })).toMatchObject({
      ok: true,
      warnings: [],
    });
  });

  it("refuses two factors of one name and one level twice", async () => {
    const factor = { name: "bury", levels: [10, 20, 10] };
    const made = await app.create("series", { title: "t", factors: [factor, { name: "bury", levels: [1] }] });
    expect(made.ok ? [] : made.problems.map(({ where }) => where?.field)).toEqual([
      "factors[0].levels[2]",
      "factors[1].name",
    ]);
  });
});

describe("pulls", () => {
  it("need a specimen of their own series, and warn of a specimen pulled twice", async () => {
    const series = await add(app, "series", { title: "t" });
    const other = await add(app, "series", { title: "other" });
    const specimen = await add(app, "specimen", { seriesId: series.id, label: "A1" });
    expect(
      problemOf(await app.create("pull", { seriesId: other.id, specimenId: specimen.id })),
    ).toMatchObject({
      code: "INPUT_FIELD",
      where: { field: "specimenId" },
    });
    const first = await app.create("pull", {
      seriesId: series.id,
      specimenId: specimen.id,
      typedPeakN: 41_000,
    });
    expect(first).toMatchObject({ ok: true, warnings: [] });
    expect(await app.create("pull", { seriesId: series.id, specimenId: specimen.id })).toMatchObject({
      ok: true,
      warnings: [{ code: "INPUT_DOUBT", where: { field: "specimenId" } }],
    });
    // Changing the first says so as well, and a change of itself alone would not.
    expect(await app.change("pull", valueIn(first).id, 1, { notes: "x" })).toMatchObject({
      warnings: [{ code: "INPUT_DOUBT" }],
    });
  });

  it("need a recording for a recorded pull", async () => {
    const series = await add(app, "series", { title: "t" });
    expect(problemOf(await app.create("pull", { seriesId: series.id, recordingPull: 1 }))).toMatchObject({
      where: { field: "recordingPull" },
    });
    expect(
      problemOf(
        await app.create("pull", { seriesId: series.id, recordingSha256: "0".repeat(64), recordingPull: 1 }),
      ),
    ).toMatchObject({ code: "INPUT_FIELD", where: { field: "recordingSha256" } });
  });
});

describe("the version of a recipe that a specimen was made by", () => {
  const recipe = { name: "30 d loop", kind: "crossed-tail loop", buryFullDiameters: 30, legs: 2 };

  it("is the present one where none is named, and stays when the recipe changes", async () => {
    const made = await add(app, "recipe", recipe);
    const series = await add(app, "series", { title: "t" });
    const first = await add(app, "specimen", { seriesId: series.id, label: "A1", recipeId: made.id });
    expect(first.recipeRevision).toBe(1);
    valueIn(await app.change("recipe", made.id, 1, { buryFullDiameters: 36 }));
    const noted = valueIn(await app.change("specimen", first.id, 1, { notes: "seen" }));
    expect(noted.recipeRevision).toBe(1);
    const second = await add(app, "specimen", { seriesId: series.id, label: "A2", recipeId: made.id });
    expect(second.recipeRevision).toBe(2);
    const other = await add(app, "recipe", { ...recipe, name: "other" });
    const moved = valueIn(await app.change("specimen", second.id, 1, { recipeId: other.id }));
    expect(moved.recipeRevision).toBe(1);
    const none = valueIn(await app.change("specimen", second.id, 2, { recipeId: null }));
    expect(none).not.toHaveProperty("recipeRevision");
  });

  it("must be one that the book keeps", async () => {
    const made = await add(app, "recipe", recipe);
    const series = await add(app, "series", { title: "t" });
    const ask = { seriesId: series.id, label: "A1", recipeId: made.id, recipeRevision: 7 };
    expect(problemOf(await app.create("specimen", ask))).toMatchObject({
      code: "INPUT_FIELD",
      where: { field: "recipeRevision" },
      found: "7",
      expected: "a version of the recipe that the book keeps: 1",
    });
    expect(problemOf(await app.create("specimen", { ...ask, recipeId: undefined }))).toMatchObject({
      where: { field: "recipeRevision" },
      expected: "recipeId beside it",
    });
  });
});
