import { beforeEach, describe, expect, it } from "vitest";
import type { App, StoredRecord } from "../../src/app/mod.ts";
import { add, openApp, problemOf, valueIn } from "./open-app.ts";

// Five loops of 6 mm rope pulled on a 12 mm pin: mean 32.2 kN, SD 1.923538 kN. The tolerance factor for 95 % of specimens
// with 95 % confidence and n = 5 is 4.203 (ISO 16269-6, table of one-sided factors, from memory), so 24.12 kN is stated.
const peaksN = [30_000, 32_000, 35_000, 31_000, 33_000];
const statedN = 32_200 - 4.2027 * 1923.538;

let app: App;
let series: StoredRecord<"series">;

beforeEach(async () => {
  ({ app } = await openApp());
  series = await add(app, "series", { title: "Loops" });
  const rope = await add(app, "rope", { name: "Loft line", nominalDiameterMm: 6, massPerLengthGPerM: 20 });
  const pin = await add(app, "hardware", { name: "Pin", diameterMm: 12 });
  const ring = await add(app, "hardware", { name: "Ring", diameterMm: 20 });
  const bench = await add(app, "bench", { name: "Shed", nearHardwareId: pin.id, farHardwareId: ring.id });
  for (const [index, typedPeakN] of peaksN.entries()) {
    const specimen = await add(app, "specimen", {
      seriesId: series.id,
      label: `L${index}`,
      ropeId: rope.id,
      cutLengthMm: 2500,
      buryFullMm: 216,
    });
    await pull(typedPeakN, { kind: "broke", place: "throat" }, specimen.id, bench.id);
  }
});

async function pull(typedPeakN: number, outcome: object, specimenId: string, benchId?: string) {
  await add(app, "pull", {
    seriesId: series.id,
    specimenId,
    typedPeakN,
    outcome,
    ...(benchId === undefined ? {} : { benchId }),
  });
}

const ring = (ratedN: number) => ({
  name: "ring",
  kind: "hardware",
  strength: { from: "rating", ratedN, source: "its maker" },
});
const loop = () => ({
  name: "loop",
  kind: "connector",
  strength: { from: "pulls", seriesId: series.id, cell: "all pulls" },
});
const rig = (fields: object = {}) =>
  add(app, "rig", {
    name: "raft",
    load: { kind: "straight pull", loadN: 5000 },
    parts: [loop(), ring(60_000)],
    ...fields,
  });

describe("a rig of the book", () => {
  it("is assessed by the pulls of the cells that its parts name", async () => {
    const assessed = valueIn(await app.assessRig((await rig()).id));
    expect(assessed.parts[0]?.statedN).toBeCloseTo(statedN, -1);
    expect(assessed.parts[0]?.margin).toBeCloseTo(statedN / 5000, 2);
    expect(assessed.parts[0]?.n).toBe(5);
    expect(assessed.parts[1]?.margin).toBe(12);
    expect(assessed.notConsidered.join(" ")).toContain("People");
  });

  it("counts a pull that was stopped as a lower bound, and leaves a void one out", async () => {
    const more = await add(app, "specimen", { seriesId: series.id, label: "M" });
    await pull(36_000, { kind: "stopped", reason: "the cell’s limit" }, more.id);
    await pull(1000, { kind: "void", reason: "the pin bent" }, more.id);
    const [cell] = valueIn(await app.cellsForUse());
    expect(cell?.pullsN).toEqual([...peaksN, 36_000]);
    expect(cell?.stopped).toEqual([false, false, false, false, false, true]);
    // The last specimen says nothing of its rope, so no mean is given that would speak for all.
    expect(cell).not.toHaveProperty("ropeM");
  });

  it("says of simulated pulls that they permit nothing", async () => {
    const { id } = await rig();
    valueIn(await app.change("series", series.id, series.revision, { simulated: true }));
    const answer = await app.assessRig(id);
    expect(answer.ok && answer.warnings.map(({ code }) => code)).toContain("RIG_SIMULATED");
  });

  it("is refused where its pulls are gone, where a part has no strength, and where there is none such", async () => {
    const { id } = await rig({
      parts: [{ ...loop(), strength: { from: "pulls", seriesId: "ser-gone", cell: "all pulls" } }],
    });
    expect(problemOf(await app.assessRig(id))?.message).toContain("are not in the book");
    const tree = await rig({ parts: [{ name: "tree", kind: "anchor", strength: { from: "nobody knows" } }] });
    expect(problemOf(await app.assessRig(tree.id))?.message).toContain("Nobody knows the strength of “tree”");
    expect(problemOf(await app.assessRig("rig-none"))?.code).toBe("BOOK_NOT_FOUND");
  });

  it("is not kept where it cannot hang", async () => {
    const line = { kind: "long line", spanM: 20, loadN: 800 };
    const refused = async (load: object) => problemOf(await app.create("rig", { name: "line", load }));
    expect(await refused({ ...line, sagM: 0 })).toMatchObject({
      code: "RIG_IMPOSSIBLE",
      message: "A line cannot hang without sag: it would have to pull without end.",
      where: { field: "load.sagM" },
    });
    expect((await refused({ ...line, sagM: 1, spanM: -20 }))?.where).toEqual({ field: "load.spanM" });
    expect((await refused({ ...line, lengthM: 19 }))?.message).toContain("too short");
    expect((await refused({ ...line, lengthM: 20.5, sagM: 1 }))?.message).toContain("in one way");
    expect((await refused({ ...line, pretensionN: 500 }))?.where).toEqual({ field: "load.stiffnessHighN" });
    expect(await app.list("rig")).toEqual([]);
  });
});

describe("a connector", () => {
  it("is chosen from the book with its mass, rope, bury and pin, and what falls short is named", async () => {
    const few = await add(app, "series", { title: "Few" });
    const specimen = await add(app, "specimen", { seriesId: few.id, label: "F" });
    await add(app, "pull", {
      seriesId: few.id,
      specimenId: specimen.id,
      typedPeakN: 30_000,
      outcome: { kind: "broke", place: "" },
    });
    const { choices, leftOut } = valueIn(
      await app.chooseConnectors({ loadN: 5000, factor: 5, pinDiameterMm: 24 }),
    );
    // One turn gives 24.12 / 5 = 4.8, less than 5: two turns, which take twice the rope. 2.5 m · 20 g/m = 50 g each.
    expect(choices).toEqual([
      {
        name: "Loops: all pulls",
        seriesId: series.id,
        cell: "all pulls",
        simulated: false,
        wraps: 2,
        statedN: expect.closeTo(statedN * (3.142857 / 2), -2),
        factor: expect.closeTo((statedN * 3.142857) / 2 / 5000, 2),
        n: 5,
        fewPulls: false,
        massG: 100,
        ropeM: 5,
        buryDiameters: 36,
        pinRatio: 4,
      },
    ]);
    expect(leftOut).toEqual([{ seriesId: few.id, cell: "all pulls", name: "Few: all pulls", n: 1 }]);
    const [cell] = valueIn(await app.cellsForUse());
    expect(cell?.pins).toEqual([{ diameterMm: 12, n: 5, meanN: 32_200 }]);
  });

  it("is not chosen by a factor below 1", async () => {
    expect(problemOf(await app.chooseConnectors({ loadN: 5000, factor: 0.5 }))?.where).toEqual({
      field: "factor",
    });
  });
});
