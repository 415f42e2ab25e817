import { beforeEach, describe, expect, it } from "vitest";
import type { App, StoredRecord } from "../../src/app/mod.ts";
import { canonicalJson } from "../../src/bundle/mod.ts";
import { bookOf, fullSeries } from "../bundle/books.ts";
import { add, problemOf, valueIn } from "./open-app.ts";

/** A GIF by its first bytes: other bytes than the picture that was published. */
const gif = new TextEncoder().encode("GIF89a\u0001\u0000\u0001\u0000");

let app: App;
let series: StoredRecord<"series">;
let day = 0;
beforeEach(async () => {
  day = 1;
  app = await bookOf("r", { now: () => `2024-05-0${day}T08:00:00.000Z` });
  series = await fullSeries(app, { peaksKn: [2.4, 2.6, 2.5, 2.9, 2.8, 2.7] });
});

const publish = async (note = "") => valueIn(await app.publishReport(series.id, { note }));
const pullsNow = async () => valueIn(await app.overview(series.id)).pulls;

describe("publishing", () => {
  it("freezes: what is changed later changes neither page nor bundle of what was published", async () => {
    const first = await publish();
    const [page, bundle] = [valueIn(await app.report(first.id)), valueIn(await app.bundleOfReport(first.id))];
    const [pull] = await pullsNow();
    valueIn(
      await app.change("pull", pull?.id ?? "", pull?.revision ?? 0, {
        outcome: { kind: "void", reason: "x" },
      }),
    );
    valueIn(await app.change("series", series.id, series.revision, { title: "Another title" }));
    expect(valueIn(await app.report(first.id)).html).toBe(page.html);
    const again = valueIn(await app.bundleOfReport(first.id));
    expect(Buffer.from(again.bytes).equals(bundle.bytes)).toBe(true);
    expect(again.contentSha256).toBe(first.contentSha256);
  });

  it("keeps what was published with it: recordings and pictures stay, and the bundle is whole", async () => {
    const first = await publish();
    const held = valueIn(await app.overview(series.id));
    const [picture] = held.pictures;
    const [recording] = held.recordings;
    expect(problemOf(await app.removePicture(picture?.id ?? ""))).toMatchObject({
      code: "BOOK_IN_USE",
      found: "report 1",
    });
    for (const pull of held.pulls) await app.remove("pull", pull.id);
    expect(problemOf(await app.removeRecording(recording?.sha256 ?? ""))?.found).toBe("report 1");
    expect(valueIn(await app.bundleOfReport(first.id)).contentSha256).toBe(first.contentSha256);
    // What was never published goes.
    const added = valueIn(await app.addPicture({ kind: "series", id: series.id }, "b.gif", gif, ""));
    expect(await app.removePicture(added.id)).toMatchObject({ ok: true });
  });

  it("names the same content by the same hash, and says that nothing changed", async () => {
    const first = await publish();
    day = 2;
    const second = await publish("For the record.");
    expect(second.contentSha256).toBe(first.contentSha256);
    expect(second.changes).toEqual([]);
    const { html } = valueIn(await app.report(second.id));
    expect(html).toContain("Nothing that the report shows changed.");
    expect(html).toContain("For the record.");
    expect(html).toContain("Revision 1, 1 May 2024");
  });

  it("says what a later revision changed and why: a correction, pulls, sources, words, records, pictures", async () => {
    await publish();
    const [first] = await pullsNow();
    const reading = first?.reading;
    if (first === undefined || reading === undefined) throw new Error("a recorded pull is wanted");
    valueIn(
      await app.override(first.id, first.revision, {
        what: "other load",
        by: "K",
        why: "the pin was wrong",
      }),
    );
    const specimen = await add(app, "specimen", { seriesId: series.id, label: "D1", levels: { bury: 36 } });
    await add(app, "pull", { seriesId: series.id, specimenId: specimen.id, typedPeakN: 2800, order: 12 });
    await add(app, "claim", {
      seriesId: series.id,
      statement: "holds 80 %",
      source: "a talk, 2022",
      basis: "rated, all legs",
      share: 0.8,
    });
    const [rope] = await app.list("rope");
    valueIn(await app.change("rope", rope?.id ?? "", 1, { ratedStrengthN: 31_000 }));
    const now = valueIn(await app.get("series", series.id));
    valueIn(await app.change("series", series.id, now.revision, { conclusions: "Longer is better." }));
    day = 2;
    const { changes } = await publish();
    expect(changes).toContain("Pull 12 (D1) was added.");
    expect(changes.find((one) => one.startsWith("Pull 1 (A1):"))).toMatch(
      /counted before, left out now\. Why: K: said to be another load and no pull, the pin was wrong\.$/,
    );
    expect(changes).toContain("Source: published figure “holds 80 %”, a talk, 2022 was added.");
    expect(changes.join("\n")).toContain("Rope “=SUM(A1) line”: rated strength (N) from 30000 to 31000.");
    expect(changes).toContain("Words of the series were added: conclusions.");
    expect(changes.join("\n")).toMatch(/Bury 24 d: pulls that count from 3 to 2/);
  });

  it("tells values apart that would look equal when rounded", async () => {
    const typed = (await pullsNow()).find(({ typedPeakN }) => typedPeakN !== undefined);
    await publish();
    valueIn(await app.change("pull", typed?.id ?? "", typed?.revision ?? 0, { typedPeakN: 26_100.6 }));
    const { changes } = await publish();
    expect(changes.join("\n")).toContain("strength from 26.1005 kN to 26.1006 kN");
  });
});

describe("a withdrawn report", () => {
  it("says so on its page with date and reason, in the list, and on pages of later revisions", async () => {
    const first = await publish();
    day = 3;
    valueIn(await app.withdrawReport(first.id, { reason: "Wrong cell." }));
    const { html, report } = valueIn(await app.report(first.id));
    expect(report.withdrawn).toEqual({ at: "2024-05-03T08:00:00.000Z", reason: "Wrong cell." });
    expect(html).toContain("Withdrawn on 3 May 2024.");
    expect(html).toContain("Wrong cell.");
    expect((await app.reports()).map(({ withdrawn }) => withdrawn?.reason)).toEqual(["Wrong cell."]);
    const second = await publish();
    expect(valueIn(await app.report(second.id)).html).toContain("Withdrawn on 3 May 2024: Wrong cell.");
    expect(problemOf(await app.withdrawReport(first.id, { reason: "again" }))?.code).toBe("BOOK_TAKEN");
    expect(problemOf(await app.withdrawReport("rep-none", { reason: "x" }))?.code).toBe("BOOK_NOT_FOUND");
  });
});

it("canonical JSON is that of the standard's own example", () => {
  // RFC 8785, sections 3.2.2 and 3.2.3: the sample's numbers and literals (its strings and their order left out).
  const sample =
    '{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001], "literals": [null, true, false]}';
  expect(canonicalJson(JSON.parse(sample))).toBe(
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27]}',
  );
});
