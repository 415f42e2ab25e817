import { rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { demoWorld } from "../../src/app/demo/latent-strengths.ts";
import { demoTaper } from "../../src/app/demo/loft.ts";
import { calculations, runCalculation } from "../../src/app/mod.ts";
import { setDistRoot } from "../../src/app/node/mod.ts";
import { refitInThreads } from "../../src/app/node/refit-in-threads.ts";
import { combineSlipOrBreak, prepareSlipOrBreak, slipOrBreak } from "../../src/findings/mod.ts";
import { inventedPulls } from "../../src/findings/slip-or-break/test-pulls.ts";
import { addBurySeries } from "./bury-series.ts";
import { add, openApp, problemOf, valueIn } from "./open-app.ts";

const here = dirname(fileURLToPath(import.meta.url));
const dist = join(here, `../../node_modules/.cache/bitterend-test/dist-slip-${process.pid}/`);

beforeAll(async () => {
  await build({
    entryPoints: [join(here, "../../src/app/node/read-worker.ts")],
    outfile: join(dist, "read-worker.js"),
    bundle: true,
    platform: "node",
    format: "esm",
    packages: "external",
    logLevel: "warning",
  });
  setDistRoot(pathToFileURL(dist));
});
afterAll(() => rmSync(dist, { recursive: true }));

describe("slip or break of a series", () => {
  it("takes the buries as made, leaves out what lacks something with the reason, and agrees with R", async () => {
    const { app } = await openApp();
    const { seriesId, pulls } = await addBurySeries(app);
    const found = valueIn(await app.slipOrBreak(seriesId, { growth: "exponential", refits: 200 }));
    expect(found.points.map(({ pullId }) => pullId)).toEqual(pulls);
    expect(found.points.every(({ buryFrom }) => buryFrom === "as made")).toBe(true);
    expect(found.leftOut.map(({ name }) => name)).toEqual(["V1", "N1"]);
    expect(found.leftOut.map(({ why }) => why).join()).toMatch(/the pin bent.*nobody measured its bury/);
    // R's survreg on the same pulls, and the length by hand from it (docs/methods/slip-or-break.md).
    expect(found.answer.slip?.slope.value).toBeCloseTo(0.0273568844735, 6);
    expect(found.answer.length.estimate).toBeCloseTo(44.619, 2);
    expect(found.findings[0]?.pulls).toEqual(pulls);
    expect(found.findings.every(({ id }) => id.startsWith("slip-or-break-"))).toBe(true);
  });

  it("is calculated once, however often and however closely together it is asked for", async () => {
    let times = 0;
    const { app } = await openApp({
      refitSlipOrBreak: (plan, about) => {
        times += 1;
        return refitInThreads(plan, about);
      },
    });
    const { seriesId } = await addBurySeries(app);
    const asked = { refits: 200, growth: "linear" };
    const [first, second] = await Promise.all([1, 2].map(() => app.slipOrBreak(seriesId, asked)));
    expect(times).toBe(1);
    expect(second).toEqual(first);
    expect(await app.slipOrBreak(seriesId, asked)).toEqual(first);
    expect(times).toBe(1);
    valueIn(await app.slipOrBreak(seriesId, { ...asked, seed: 5 }));
    expect(times).toBe(2);
  });

  it("of a series without buries is refused with the reason and the way out", async () => {
    const { app } = await openApp();
    const { id } = await add(app, "series", { title: "Which pin?" });
    await add(app, "pull", { seriesId: id, typedPeakN: 9000, outcome: { kind: "broke" } });
    expect(problemOf(await app.slipOrBreak(id))).toMatchObject({ code: "FINDING_NO_BURY" });
    expect(problemOf(await app.slipOrBreak(id, { chance: 0.9 }))).toMatchObject({
      where: { field: "chance" },
    });
  });

  it("of the demo answers its question, held against the truth that the simulator knows", async () => {
    const { app } = await openApp();
    valueIn(await app.loadDemo());
    const all = await app.list("series");
    const series = all.find(({ factors }) => factors.some(({ name }) => name === "splice"));
    const found = valueIn(await app.slipOrBreak(series?.id ?? ""));
    expect(found.points.length + found.leftOut.length).toBe(
      (await app.list("pull", { seriesId: series?.id ?? "" })).length,
    );
    // The demo's world has another law than either that is fitted: a power of the full bury and half of its taper, and
    // habits that the specimens of a maker and a spool share. In it slipping first has the chance of z where
    // ln slip − ln break = z σ; both means stand over log-normal medians. By splice; in the middle, the mean logarithm.
    const squares = (scatters: object) =>
      Object.values(scatters).reduce((sum: number, one: number) => sum + one ** 2, 0);
    const [slip, rope] = [squares(demoWorld.slipScatter), squares(demoWorld.breakScatter)];
    const need = 1.6448536269514722 * Math.sqrt(slip + rope) + (slip - rope) / 2;
    const lead = Object.values(demoWorld.splices).map(({ slipAt, breakAt }) => Math.log(slipAt / breakAt));
    const truth = (ahead: number) =>
      demoWorld.slipBury * Math.exp((need - ahead) / demoWorld.slipPower) - demoWorld.taperGrip * demoTaper;
    const middle = truth(lead.reduce((sum, one) => sum + one, 0) / lead.length);
    const { length, curve } = found.answer;
    // The bound holds for the middle and, here, for both splices.
    for (const ahead of lead) expect(length.upper).toBeGreaterThan(truth(ahead));
    // And the band about the estimate holds the true chance at the true length.
    const before = curve.findLast(({ buryDiameters }) => buryDiameters <= middle);
    const after = curve.find(({ buryDiameters }) => buryDiameters > middle);
    expect(after?.lower).toBeLessThan(0.05);
    expect(before?.upper).toBeGreaterThan(0.05);
    expect(found.otherFactors).toEqual([
      { factor: "splice", as: "fitted" },
      { factor: "diameter", as: "fitted" },
    ]);
    // The same at each splice: its own bound holds for its own truth, and the splice that grips less needs more.
    const splices = Object.entries(demoWorld.splices).map(([name, { slipAt, breakAt }]) => ({
      truth: truth(Math.log(slipAt / breakAt)),
      found: found.byLevel.find(({ factor, level }) => factor === "splice" && level === name),
    }));
    for (const one of splices) expect(one.found?.upper).toBeGreaterThan(one.truth);
    const [short, long] = splices.toSorted((a, b) => a.truth - b.truth);
    expect(long?.found?.estimate).toBeGreaterThan(short?.found?.estimate as number);
    expect(found.findings.map(({ id }) => id)).toContain("slip-or-break-at-splice");
    // It says so in the published page, which is the same whenever it is made of the same pulls.
    const [one, other] = [
      valueIn(await app.previewReport(series?.id ?? "")),
      valueIn(await app.previewReport(series?.id ?? "")),
    ];
    expect(one).toContain('<h2 id="slip-or-break">');
    expect(one.replaceAll("\u00a0", " ")).toContain(found.findings[0]?.sentence);
    expect(other).toBe(one);
  });
});

describe("refits in threads", () => {
  it("come to the same answer with one thread, two, or none", async () => {
    const input = { pulls: inventedPulls(), refits: 330, seed: 9 };
    const plan = valueIn(prepareSlipOrBreak(input));
    const said: number[] = [];
    const onProgress = (done: number) => said.push(done);
    const [one, two] = [
      valueIn(await refitInThreads(plan, {}, 1)),
      valueIn(await refitInThreads(plan, { onProgress }, 2)),
    ];
    expect(combineSlipOrBreak(plan, one)).toEqual(slipOrBreak(input));
    expect(combineSlipOrBreak(plan, two)).toEqual(slipOrBreak(input));
    expect(said.at(-1)).toBe(1);
    expect(said).toEqual(said.toSorted((a, b) => a - b));
  });

  it("stop when they are told to, long before their end", async () => {
    const plan = valueIn(prepareSlipOrBreak({ pulls: inventedPulls(), refits: 20_000, seed: 9 }));
    const stop = new AbortController();
    const said: number[] = [];
    const onProgress = (done: number) => {
      said.push(done);
      stop.abort();
    };
    const stopped = await refitInThreads(plan, { signal: stop.signal, onProgress });
    expect(problemOf(stopped)).toMatchObject({ code: "FINDING_STOPPED" });
    expect(said).toHaveLength(1);
    expect(said[0]).toBeLessThan(0.1);
  });
});

describe("a long calculation in a thread", () => {
  const truth = { growth: "linear", plateau: 0.9, turn: 36, slipBury: 24, slipStrength: 0.6 } as const;
  const asked = {
    levels: [24, 32, 40, 48],
    pullsPerLevel: 4,
    truth: { ...truth, slipScatter: 0.08, breakScatter: 0.08 },
  };

  it("answers as in the caller's own, and leaves that free meanwhile", async () => {
    const { app } = await openApp();
    let turns = 0;
    const free = setInterval(() => turns++, 1);
    const answer = await app.calculate("bury-plan", { ...asked, series: 8 });
    clearInterval(free);
    expect(answer).toEqual(runCalculation("bury-plan", { ...asked, series: 8 }));
    // In the caller's own thread no turn would have come in between.
    expect(turns).toBeGreaterThan(2);
    expect(problemOf(await app.calculate("bury-plan", { ...asked, levels: [] }))?.where?.field).toBe(
      "levels",
    );
    expect(problemOf(await app.calculate("bury-plans", {}))?.wayOut).toContain("bury-plan");
  });

  it("leaves the caller's thread free for a bootstrap of a million resamples", async () => {
    const { app } = await openApp();
    const asked = {
      values: Array.from({ length: 20 }, (_, i) => 50 + (i % 7)),
      statistic: "cv",
      resamples: 1e6,
    };
    let turns = 0;
    const free = setInterval(() => turns++, 1);
    const answer = await app.calculate("bootstrap", asked);
    clearInterval(free);
    expect(turns).toBeGreaterThan(2);
    expect(answer).toEqual(runCalculation("bootstrap", asked));
    const stop = new AbortController();
    const stopped = app.calculate("bootstrap", asked, { signal: stop.signal });
    stop.abort();
    expect(problemOf(await stopped)).toMatchObject({ code: "FINDING_STOPPED" });
  });

  const long = calculations.filter((calculation) => calculation.long === true);
  it.each(long)("answers the same in the thread that waits: $name", async ({ name, example }) => {
    const { app } = await openApp();
    expect(await app.calculate(name, example)).toEqual(runCalculation(name, example));
  });

  it("stops when it is told to", async () => {
    const { app } = await openApp();
    const stop = new AbortController();
    const answer = app.calculate("bury-plan", { ...asked, series: 1000 }, { signal: stop.signal });
    stop.abort();
    expect(problemOf(await answer)).toMatchObject({ code: "FINDING_STOPPED" });
  });
});
