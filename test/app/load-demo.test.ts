import { describe, expect, it } from "vitest";
import { add, openApp, valueIn } from "./open-app.ts";

describe("the demo", () => {
  it("is loaded into a new book, once, and says that it is simulated", async () => {
    const { app } = await openApp();
    expect(valueIn(await app.loadDemo())).toBe(true);
    const [series] = await app.list("series");
    expect(series?.simulated).toBe(true);
    const held = valueIn(await app.overview(series?.id ?? ""));
    // Two dozen pulls or more, each with its recording, specimen, bench and outcome.
    expect(held.pulls.length).toBeGreaterThanOrEqual(24);
    for (const pull of held.pulls) {
      expect(pull.reading, pull.id).toBeDefined();
      expect(pull.specimenId, pull.id).toBeDefined();
      expect(pull.benchId, pull.id).toBeDefined();
      expect(pull.outcome, pull.id).toBeDefined();
    }
    expect(held.pulls.map(({ order }) => order)).toEqual(held.pulls.map((_, place) => place + 1));
    expect(new Set(held.pulls.map(({ outcome }) => outcome?.kind))).toEqual(
      new Set(["broke", "slipped", "stopped", "void"]),
    );
    expect(valueIn(await app.findings(series?.id ?? "")).cells.length).toBeGreaterThan(1);
    expect(valueIn(await app.loadDemo())).toBe(false);
    expect(await app.list("series")).toHaveLength(2);
  });

  it("has a rig that rests on its pulls, holds nobody, and says that it permits nothing", async () => {
    const { app } = await openApp();
    valueIn(await app.loadDemo());
    const [rig] = await app.list("rig");
    expect(rig?.name).toContain("(simulated)");
    const answer = await app.assessRig(rig?.id ?? "");
    expect(answer.ok && answer.warnings.map(({ code }) => code)).toContain("RIG_SIMULATED");
    const assessed = valueIn(answer);
    expect(assessed.parts.map(({ n }) => n)).toEqual([undefined, 6, undefined, undefined, 6, undefined]);
    // A load that is nearly all: 7 of 18 m from the left, 0.9 m below the chord: H = 900 · 7 · 11 / (18 · 0.9) = 4278 N.
    expect(assessed.forces.line?.horizontalN).toBeGreaterThan(4278);
    expect(assessed.forces.line?.horizontalN).toBeLessThan(4278 * 1.02);
    const { choices } = valueIn(await app.chooseConnectors({ loadN: 4000, factor: 5 }));
    expect(choices.length).toBeGreaterThanOrEqual(2);
  });

  it("is not put into a book that holds something", async () => {
    const { app } = await openApp();
    await add(app, "rope", { name: "mine", nominalDiameterMm: 5 });
    expect(valueIn(await app.loadDemo())).toBe(false);
    expect(await app.list("series")).toEqual([]);
  });
});
