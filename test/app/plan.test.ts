import { beforeEach, expect, it } from "vitest";
import type { App } from "../../src/app/mod.ts";
import { addBurySeries } from "./bury-series.ts";
import { add, openApp, problemOf, valueIn } from "./open-app.ts";

let app: App;
beforeEach(async () => {
  ({ app } = await openApp());
});

const bury = { name: "bury", unit: "d", levels: [24, 36, 48] };

async function loft(pullsPerCell = 4) {
  const rope = await add(app, "rope", { name: "Line 6", nominalDiameterMm: 6, massPerLengthGPerM: 21 });
  const spools = [];
  for (const name of ["A", "B"])
    spools.push(await add(app, "spool", { ropeId: rope.id, name, pricePerM: 2, currency: "EUR" }));
  const recipe = await add(app, "recipe", {
    name: "loop",
    kind: "crossed-tail loop",
    buryFullDiameters: 30,
    legs: 2,
  });
  const series = await add(app, "series", { title: "Bury", factors: [bury], pullsPerCell });
  return { rope, recipe, series, spoolIds: spools.map(({ id }) => id) };
}

it("makes the specimens of the plan in the drawn order, balanced, and only those still wanted", async () => {
  const { series, spoolIds, recipe } = await loft();
  await add(app, "specimen", { seriesId: series.id, label: "A7", levels: { bury: 36 } });
  const asked = { spoolIds, makers: ["Kim", "Ola"], seed: 5 };
  const drawn = valueIn(valueIn(await app.plan(series.id, asked)).order);
  const made = valueIn(await app.makePlanned(series.id, { ...asked, recipeId: recipe.id, lengthMm: 900 }));
  expect(made.map(({ levels, spoolId, maker }) => [levels, spoolId, maker])).toEqual(
    drawn.map(({ levels, spool, maker }) => [levels, spool, maker]),
  );
  expect(made.map(({ label }) => label)).toEqual(Array.from({ length: 11 }, (_, i) => `A${i + 8}`));
  expect(made.map(({ plannedOrder }) => plannedOrder)).toEqual(Array.from({ length: 11 }, (_, i) => i + 1));
  expect(made[0]).toMatchObject({ recipeRevision: 1, wanted: { lengthMm: 900, measure: "inside" } });
  // Four of each bury, the one that was there counted; each spool twice where all four were drawn.
  for (const level of [24, 36, 48]) {
    const here = made.filter(({ levels }) => levels["bury"] === level);
    expect(here).toHaveLength(level === 36 ? 3 : 4);
    for (const id of spoolIds)
      if (level !== 36) expect(here.filter(({ spoolId }) => spoolId === id)).toHaveLength(2);
  }
  expect(problemOf(await app.makePlanned(series.id, asked))?.message).toContain("no more specimens");
});

it("makes none where one cannot be made", async () => {
  const { series, spoolIds } = await loft();
  expect(problemOf(await app.makePlanned(series.id, { spoolIds, recipeId: "rec-none" }))?.where?.field).toBe(
    "recipeId",
  );
  expect(await app.list("specimen", { seriesId: series.id })).toEqual([]);
  const other = await add(app, "rope", { name: "Other", nominalDiameterMm: 8 });
  const spool = await add(app, "spool", { ropeId: other.id, name: "C" });
  expect(
    problemOf(await app.makePlanned(series.id, { spoolIds: [...spoolIds, spool.id] }))?.where?.field,
  ).toBe("spoolIds");
});

it("says what the plan takes, by the cut lengths of its levels", async () => {
  const { series, spoolIds, recipe, rope } = await loft();
  const plan = valueIn(
    await app.plan(series.id, { spoolIds, recipeId: recipe.id, lengthMm: 900, minutes: 30 }),
  );
  if (plan.budget === undefined) throw new Error("no budget");
  const budget = valueIn(plan.budget);
  expect(budget.cuts.map(({ specimens }) => specimens)).toEqual([4, 4, 4]);
  // 12 d more of bury in each of two tails, on 6 mm: 144 mm more of rope, and what their host contracts by (5 to 12 %,
  // common practice).
  const [short, middle] = [24, 36].map(
    (level) => budget.cuts.find(({ buryDiameters }) => buryDiameters === level)?.cutLengthMm ?? 0,
  ) as [number, number];
  expect(middle - short).toBeGreaterThan(144);
  expect(middle - short).toBeLessThan(144 * 1.13);
  expect(budget.massG).toBeCloseTo((rope.massPerLengthGPerM ?? 0) * budget.ropeM, 9);
  expect(budget.cost).toEqual({ value: expect.closeTo(2 * budget.ropeM, 9), currency: "EUR" });
  expect(plan.time).toMatchObject({ totalMinutes: 360 });
  expect(plan.bury?.levels).toEqual([24, 36, 48]);
  expect(plan.scatter.source).toBe("custom");
});

it("plans with the scatter of the book's other series, and not with its own", async () => {
  const { series } = await loft();
  const earlier = await add(app, "series", {
    title: "Before",
    factors: [{ name: "bury", unit: "d", levels: [30] }],
  });
  // 40, 42, 44, 46, 48 kN, twice: mean 44, SD √10, CV 0.07187.
  const pull = async (seriesId: string, level: number, kN: number, label: string) => {
    const specimen = await add(app, "specimen", { seriesId, label, levels: { bury: level } });
    await add(app, "pull", {
      seriesId,
      specimenId: specimen.id,
      typedPeakN: kN * 1000,
      outcome: { kind: "broke" },
    });
  };
  for (const [at, kN] of [40, 42, 44, 46, 48, 40, 42, 44, 46, 48].entries())
    await pull(earlier.id, 30, kN, `B${at}`);
  for (const [at, kN] of [10, 90].entries()) await pull(series.id, 24, kN, `A${at}`);
  const { scatter } = valueIn(await app.plan(series.id));
  // Ten values: Σ(x − 44)² = 80, over 9.
  expect(scatter).toMatchObject({ source: "book", series: 1, cells: 1, pulls: 10 });
  expect(scatter.cv).toBeCloseTo(Math.sqrt(80 / 9) / 44, 9);
});

it("assumes of slipping and breaking what the book's earlier pulls say, and says so", async () => {
  const { series } = await loft();
  const before = valueIn(await app.plan(series.id)).bury;
  expect(before?.truth).toMatchObject({ turn: 36, plateau: 0.88 });
  expect(before?.truthSays).toContain("nothing in the book");
  const earlier = await addBurySeries(app);
  const bury = valueIn(await app.plan(series.id)).bury;
  // R's survreg on these pulls (src/findings/slip-or-break/slip-or-break.test.ts): half slip at
  // (−0.0982778 + 1.1251415)/0.0273569 = 37.5 d; the rope breaks at exp(−0.0982778) = 0.906, scatter 0.047.
  expect(bury?.truth).toMatchObject({ plateau: 0.906, slipBury: 20, breakScatter: 0.047 });
  expect(bury?.truth.turn).toBeGreaterThan(37);
  expect(bury?.truth.turn).toBeLessThan(38);
  expect(bury?.truthSays).toBe("as fitted to 30 pulls of “Is the bury long enough?”");
  // What is typed goes before it, and pulls of the series itself before those of another.
  const typed = valueIn(await app.plan(series.id, { truth: { turn: 40 }, cv: 0.06 })).bury;
  expect(typed?.truth).toMatchObject({ turn: 40, plateau: 0.906, slipScatter: 0.06 });
  const own = valueIn(await app.plan(earlier.seriesId)).bury;
  expect(own === undefined ? "" : own.truthSays).toBe("as fitted to 30 pulls of “Is the bury long enough?”");
});

it("keeps the plan that was once pulls exist, and nobody else writes that history", async () => {
  const { series } = await loft();
  const before = valueIn(await app.change("series", series.id, 1, { pullsPerCell: 3 }));
  expect(before).not.toHaveProperty("planHistory");
  await add(app, "pull", { seriesId: series.id });
  const same = valueIn(await app.change("series", series.id, 2, { notes: "windy" }));
  expect(same).not.toHaveProperty("planHistory");
  const changed = valueIn(
    await app.change("series", series.id, 3, { factors: [{ ...bury, levels: [36, 48, 60] }] }),
  );
  expect(changed.planHistory).toEqual([
    { until: "2024-05-01T08:00:00.000Z", factors: [bury], pullsPerCell: 3, pullsThen: 1 },
  ]);
  const { changes } = valueIn(await app.plan(series.id));
  expect(changes).toHaveLength(1);
  expect(changes[0]?.changed).toEqual(["1 level of “bury” dropped: 24", "1 level of “bury” added: 60"]);
  expect(problemOf(await app.change("series", series.id, 4, { planHistory: null }))?.where?.field).toBe(
    "planHistory",
  );
  expect(problemOf(await app.create("series", { title: "x", planHistory: [] }))?.where?.field).toBe(
    "planHistory",
  );
});

it("refuses a difference in newtons without the strength beside it", async () => {
  const { series } = await loft();
  expect(problemOf(await app.plan(series.id, { differenceN: 5000 }))?.where?.field).toBe("strengthN");
  const { howMany } = valueIn(await app.plan(series.id, { differenceN: 5000, strengthN: 50_000 }));
  expect(howMany.difference).toBeCloseTo(0.1, 12);
});

it("says of a plan without a number of pulls why there is no order", async () => {
  const { series } = await loft(0);
  const { order } = valueIn(await app.plan(series.id));
  expect(problemOf(order)?.where?.field).toBe("pullsPerCell");
});
