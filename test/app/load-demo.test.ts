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
    expect(await app.list("series")).toHaveLength(1);
  });

  it("is not put into a book that holds something", async () => {
    const { app } = await openApp();
    await add(app, "rope", { name: "mine", nominalDiameterMm: 5 });
    expect(valueIn(await app.loadDemo())).toBe(false);
    expect(await app.list("series")).toEqual([]);
  });
});
