import { createHash } from "node:crypto";
import { beforeEach, describe, expect, it } from "vitest";
import type { App, StoredPull, StoredRecord } from "../../src/app/mod.ts";
import { add, layout, openApp, problemOf, recordingOf, valueIn } from "./open-app.ts";

let app: App;
let series: StoredRecord<"series">;
let specimens: StoredRecord<"specimen">[];

beforeEach(async () => {
  ({ app } = await openApp());
  series = await add(app, "series", {
    title: "Does bury matter? <b>&",
    factors: [{ name: "bury", unit: "d", levels: [10, 20] }],
  });
  const rope = await add(app, "rope", { name: "Loft line", nominalDiameterMm: 6, ratedStrengthN: 10_000 });
  const spool = await add(app, "spool", { ropeId: rope.id, name: "Spool 1" });
  const recipe = await add(app, "recipe", { name: "loop", kind: "crossed-tail loop", legs: 2 });
  specimens = [];
  for (const [label, bury] of [
    ["A1", 10],
    ["A2", 20],
    ["A3", 20],
  ] as const)
    specimens.push(
      await add(app, "specimen", {
        seriesId: series.id,
        label,
        spoolId: spool.id,
        recipeId: recipe.id,
        levels: { bury },
        maker: "me",
        buryFullMm: bury * 6,
      }),
    );
});

async function importPulls(
  peaksKn: readonly number[],
  benchId?: string,
  restKn?: number,
): Promise<StoredPull[]> {
  const request = {
    seriesId: series.id,
    fileName: "day-1.csv",
    layout,
    bytes: [recordingOf(peaksKn, restKn)],
  };
  const imported = await app.importRecording(benchId === undefined ? request : { ...request, benchId });
  return [...valueIn(imported).pulls];
}

async function say(pull: StoredPull, specimen: number, outcome: object): Promise<void> {
  const specimenId = specimens[specimen]?.id;
  valueIn(await app.change("pull", pull.id, pull.revision, { specimenId, outcome }));
}

describe("findings", () => {
  it("give each pull its strength and efficiencies, from rope and recipe by way of the specimen's spool", async () => {
    const [one, two] = await importPulls([12, 8]);
    await say(one as StoredPull, 0, { kind: "broke", place: "throat" });
    await say(two as StoredPull, 1, { kind: "slipped" });
    const shown = valueIn(await app.findings(series.id));
    const judged = shown.pulls.map((pull) => ({
      label: pull.specimenLabel,
      line: pull.lineEfficiency?.toFixed(2),
      leg: pull.legEfficiency?.toFixed(2),
      source: pull.strengthSource,
      spool: pull.spoolName,
      rope: pull.ropeName,
    }));
    // 12 kN over a rated 10 kN is 1.2 of the line; a loop has two legs, so 0.6 of a leg.
    const from = { source: "reading", spool: "Spool 1", rope: "Loft line" };
    expect(judged).toEqual([
      { label: "A1", line: "1.20", leg: "0.60", ...from },
      { label: "A2", line: "0.80", leg: "0.40", ...from },
    ]);
    // The recording was made with peaks of 12 and 8 kN: each within the uncertainty that is stated.
    for (const [at, trueN] of [12_000, 8000].entries()) {
      const { strengthN = 0, strengthExpandedN = 0 } = shown.pulls[at] ?? {};
      expect(strengthExpandedN).toBeGreaterThan(0);
      expect(strengthExpandedN).toBeLessThan(30);
      expect(Math.abs(strengthN - trueN)).toBeLessThanOrEqual(strengthExpandedN);
    }
    expect(shown.outcomes).toMatchObject({ broke: 1, slipped: 1 });
  });

  it("take a peak that was typed in", async () => {
    const specimenId = specimens[2]?.id;
    const outcome = { kind: "broke", place: "bury" };
    await add(app, "pull", { seriesId: series.id, specimenId, typedPeakN: 9000, outcome });
    expect(valueIn(await app.findings(series.id)).pulls[0]).toMatchObject({
      strengthN: 9000,
      strengthSource: "typed",
      lineEfficiency: 0.9,
      use: "counted",
    });
  });

  it("multiply by the mechanical advantage where the cell sits on the drive's side, and warn of friction", async () => {
    const bench = await add(app, "bench", {
      name: "shed",
      cellPlacement: "on the drive side",
      mechanicalAdvantage: 2.5,
    });
    const [pull] = await importPulls([4], bench.id);
    await say(pull as StoredPull, 0, { kind: "broke", place: "throat" });
    const [judged] = valueIn(await app.findings(series.id)).pulls;
    const peak = pull?.reading?.deep?.peak;
    expect(judged?.strengthN).toBeCloseTo((peak?.valueN ?? 0) * 2.5, 6);
    expect(judged?.strengthExpandedN).toBeCloseTo((peak?.expandedN ?? 0) * 2.5, 6);
    expect(judged?.loadingRateNPerS).toBeCloseTo((pull?.reading?.loadingRateNPerS ?? 0) * 2.5, 6);
    expect(judged?.warnings.map(({ code }) => code)).toContain("FINDING_DRIVE_SIDE");
    // In line with the specimen the advantage is the drive's own business.
    valueIn(await app.change("bench", bench.id, 1, { cellPlacement: "in line with the specimen" }));
    const [inLine] = valueIn(await app.findings(series.id)).pulls;
    expect(inLine?.strengthN).toBe(peak?.valueN);
    expect(inLine?.warnings.map(({ code }) => code)).not.toContain("FINDING_DRIVE_SIDE");
  });

  it("take the peak as recorded where the file shows no rest, and warn of it", async () => {
    // A record that begins and ends under load: nothing in it says where zero is.
    const rows = Array.from({ length: 400 }, (_, row) => {
      const force = row < 350 ? 3 + row / 50 + 0.002 * Math.sin(row * 2.399) : 6 + 0.002 * Math.sin(row);
      return `${(row / 100).toFixed(2)},${force.toFixed(5)}`;
    });
    const bytes = new TextEncoder().encode(`time_s,force_kN\n${rows.join("\n")}\n`);
    const [pull] = valueIn(
      await app.importRecording({ seriesId: series.id, fileName: "loaded.csv", layout, bytes: [bytes] }),
    ).pulls;
    expect(pull?.reading?.netPeakN).toBeUndefined();
    await say(pull as StoredPull, 0, { kind: "broke", place: "throat" });
    const [judged] = valueIn(await app.findings(series.id)).pulls;
    expect(judged?.strengthN).toBe(pull?.reading?.peakN);
    expect(judged?.warnings.map(({ code }) => code)).toContain("READING_NO_REST");
  });

  it("are refused for a series that is not there", async () => {
    expect(problemOf(await app.findings("ser-none"))).toMatchObject({ code: "BOOK_NOT_FOUND" });
    expect(problemOf(await app.overview("ser-none"))).toMatchObject({ code: "BOOK_NOT_FOUND" });
    expect(problemOf(await app.previewReport("ser-none"))).toMatchObject({ code: "BOOK_NOT_FOUND" });
    expect(problemOf(await app.publishReport("ser-none"))).toMatchObject({ code: "BOOK_NOT_FOUND" });
  });
});

describe("reports", () => {
  it("tell both where the person's outcome is not the recording's, with the recording's reasons", async () => {
    const [pull] = await importPulls([12]);
    // The record falls from 12 kN to nothing within a sample; the person saw it slip.
    await say(pull as StoredPull, 1, { kind: "slipped", place: "taper end" });
    const [judged] = valueIn(await app.findings(series.id)).pulls;
    expect(judged).toMatchObject({ outcome: { kind: "slipped" }, outcomeDiffers: true });
    const { likeliest = "", probability = 0, reasons = [] } = judged?.evidence ?? {};
    expect(likeliest).toBe("broke");
    const page = valueIn(await app.previewReport(series.id)).replaceAll("\u00a0", " ");
    const row = /<tr[^>]*>(?:(?!<\/tr>)[\s\S])*A2(?:(?!<\/tr>)[\s\S])*recording:[\s\S]*?<\/tr>/.exec(
      page,
    )?.[0];
    expect(row).toContain("slipped");
    expect(row).toContain(`recording: broke, ${Math.round(probability * 100)} %`);
    expect(page).toContain("A2 is entered as slipped, and counts as that; its recording looks like broke");
    expect(reasons.length).toBeGreaterThan(0);
    // As they read in kilonewtons: without the pounds-force beside them.
    const inKN = page
      .replaceAll(/<span class="lbf">(?:<span class="kn">[^<]*<\/span>|[^<])*<\/span>/g, "")
      .replaceAll(/<[^>]*>/g, "");
    for (const reason of reasons) expect(inKN).toContain(reason);
    expect(inKN).not.toContain("..");
  });

  it("freeze what they showed, under numbers that go on", async () => {
    const [one, two] = await importPulls([12, 8]);
    await say(one as StoredPull, 0, { kind: "broke", place: "throat" });
    await say(two as StoredPull, 1, { kind: "slipped" });
    const jpeg = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 1, 2, 3);
    valueIn(await app.addPicture({ kind: "pull", id: one?.id ?? "" }, "a.jpg", jpeg, "the throat, after"));

    const preview = valueIn(await app.previewReport(series.id));
    expect(preview).toContain("Does bury matter? &lt;b&gt;&amp;");
    expect(preview).toContain(`data:image/jpeg;base64,${Buffer.from(jpeg).toString("base64")}`);
    expect(preview).toContain("the throat, after");
    expect(preview).toContain("Loft line");

    const published = valueIn(await app.publishReport(series.id));
    expect(published).toMatchObject({ seriesId: series.id, number: 1, title: series.title });
    const { html, report } = valueIn(await app.report(published.id));
    expect(report).toEqual(published);
    expect(createHash("sha256").update(html).digest("hex")).toBe(published.sha256);

    valueIn(await app.change("series", series.id, 1, { title: "Another title" }));
    expect(valueIn(await app.report(published.id)).html).toBe(html);
    const second = valueIn(await app.publishReport(series.id));
    expect(second).toMatchObject({ number: 2, title: "Another title" });
    expect(await app.reports()).toEqual([published, second]);
    expect(valueIn(await app.overview(series.id)).reports).toEqual([published, second]);
    expect(problemOf(await app.report("rep-none"))).toMatchObject({ code: "BOOK_NOT_FOUND" });
  });

  it("get different numbers when published at once", async () => {
    const all = await Promise.all([1, 2, 3, 4].map(() => app.publishReport(series.id)));
    expect(all.map((result) => valueIn(result).number).sort()).toEqual([1, 2, 3, 4]);
  });

  it("leave out photographs that make the page too large, and say which", async () => {
    const large = new Uint8Array(19_000_000);
    large.set([0xff, 0xd8, 0xff]);
    for (const name of ["a.jpg", "b.jpg", "c.jpg", "d.jpg"])
      valueIn(await app.addPicture({ kind: "series", id: series.id }, name, large, ""));
    const preview = await app.previewReport(series.id);
    expect(preview).toMatchObject({ ok: true, warnings: [{ code: "REPORT_PICTURES", found: "d.jpg" }] });
  });
});
