import { strFromU8, unzipSync } from "fflate";
import { HtmlValidate } from "html-validate";
import { beforeEach, describe, expect, it } from "vitest";
import type { App, StoredPull } from "../../src/app/mod.ts";
import { add, layout, openApp, problemOf, recordingOf, valueIn } from "./open-app.ts";

let app: App;
let seriesId: string;
let pull: StoredPull;

const evil = '=HYPERLINK("http://example.org")';

beforeEach(async () => {
  ({ app } = await openApp());
  const series = await add(app, "series", { title: evil, notes: "+1+1", conclusions: "@SUM(A1)" });
  seriesId = series.id;
  const rope = await add(app, "rope", { name: "-2+3", nominalDiameterMm: 6, ratedStrengthN: 10_000 });
  const specimen = await add(app, "specimen", { seriesId, label: "A1", ropeId: rope.id, maker: "me" });
  const imported = valueIn(
    await app.importRecording({ seriesId, fileName: "day-1.csv", layout, bytes: [recordingOf([12])] }),
  );
  const [first] = imported.pulls;
  if (first === undefined) throw new Error("no pull was read");
  pull = valueIn(
    await app.change("pull", first.id, first.revision, {
      specimenId: specimen.id,
      outcome: { kind: "broke", place: "taper end" },
      notes: "<script>alert(1)</script> and **bold**",
    }),
  ) as StoredPull;
});

/** The cells of a sheet as ECMA-376 has them: reference, type, and the text or number. */
function cellsOf(archive: Uint8Array, sheet: number) {
  const files = unzipSync(archive);
  const read = (name: string) => strFromU8(files[name] ?? new Uint8Array());
  const plain = (text: string) =>
    text
      .replace(/&lt;/g, "<")
      .replace(/&gt;/g, ">")
      .replace(/&quot;/g, '"')
      .replace(/&apos;/g, "'")
      .replace(/&amp;/g, "&");
  const shared = [...read("xl/sharedStrings.xml").matchAll(/<si>.*?<t[^>]*>([\s\S]*?)<\/t>.*?<\/si>/g)].map(
    ([, text = ""]) => plain(text),
  );
  const xml = read(`xl/worksheets/sheet${sheet}.xml`);
  const cells = [...xml.matchAll(/<c r="([A-Z]+\d+)"([^>]*?)(?:\/>|>([\s\S]*?)<\/c>)/g)].map(
    ([, at = "", about = "", inside = ""]) => {
      const type = /t="(\w+)"/.exec(about)?.[1] ?? "n";
      const value =
        /<v>([\s\S]*?)<\/v>/.exec(inside)?.[1] ?? /<t[^>]*>([\s\S]*?)<\/t>/.exec(inside)?.[1] ?? "";
      return { at, type, value: type === "s" ? (shared[Number(value)] ?? "?") : plain(value) };
    },
  );
  return { xml, cells, names: Object.keys(files) };
}

describe("the tables as a spreadsheet", () => {
  it("read back: a number as a number, a text as a text, and nothing as a formula", async () => {
    const archive = valueIn(await app.reportSpreadsheet(seriesId));
    const { names } = cellsOf(archive, 1);
    expect(names.filter((name) => name.startsWith("xl/worksheets/sheet")).length).toBe(7);
    const about = cellsOf(archive, 1).cells;
    expect(about.find(({ at }) => at === "B2")).toMatchObject({ value: evil });
    expect(about.map(({ value }) => value)).toContain("@SUM(A1)");
    for (let sheet = 1; sheet <= 7; sheet++) {
      const { xml, cells } = cellsOf(archive, sheet);
      expect(xml).not.toMatch(/<f[ >]/);
      // A cell that begins like a formula is a text: a shared or an inline string, never a number or a "str" of a formula.
      for (const { type, value } of cells)
        if (/^[=+\-@]\D/.test(value)) expect(["s", "inlineStr"]).toContain(type);
    }
    const pulls = cellsOf(archive, 2).cells;
    const column = pulls.find(({ value }) => value === "strength_n")?.at.replace(/\d+$/, "");
    const strength = pulls.find(({ at }) => at === `${column}2`);
    expect(strength?.type).toBe("n");
    // The recording's pull is 12 kN above its rest.
    expect(Number(strength?.value)).toBeGreaterThan(11_980);
    expect(Number(strength?.value)).toBeLessThan(12_020);
  });

  it("has the same bytes each time", async () => {
    const [one, two] = [await app.reportSpreadsheet(seriesId), await app.reportSpreadsheet(seriesId)];
    expect(Buffer.from(valueIn(one)).equals(Buffer.from(valueIn(two)))).toBe(true);
  });

  it("cuts a text that no cell holds, and says so", async () => {
    const fresh = valueIn(await app.get("series", seriesId));
    valueIn(await app.change("series", seriesId, fresh.revision, { notes: "x".repeat(100_000) }));
    const notes = cellsOf(valueIn(await app.reportSpreadsheet(seriesId)), 1).cells.find(({ value }) =>
      value.startsWith("xxx"),
    );
    expect(notes?.value.length).toBe(32_767); // ECMA-376 files: Excel's limit of characters in a cell, from memory
    expect(notes?.value).toContain("cut here");
  });
});

describe("what a report must state", () => {
  it("follows what is entered", async () => {
    const place = async () =>
      valueIn(await app.reportCompleteness(seriesId)).find(({ clause }) => clause === "7.8.2.1 c)")?.state;
    expect(await place()).toBe("missing");
    const fresh = valueIn(await app.get("series", seriesId));
    valueIn(await app.change("series", seriesId, fresh.revision, { testedAt: "the shed" }));
    expect(await place()).toBe("covered");
  });

  it("is refused of a series that is not there", async () => {
    expect(problemOf(await app.reportCompleteness("ser-none"))?.code).toBe("BOOK_NOT_FOUND");
  });
});

describe("captions for the film of a pull", () => {
  const cues = (text: string) =>
    text
      .trimEnd()
      .split("\n\n")
      .slice(1)
      .map((block) => block.split("\n"));

  it("lie where the break was marked: 2 s of rest and 12 s of ramp before it", async () => {
    // By construction it breaks at 14.00 s of the recording, at 12 kN above the rest.
    const text = valueIn(await app.captions(pull.id, { filmMomentS: 30, ratePerS: 10 }));
    expect(text.startsWith("WEBVTT\n\n")).toBe(true);
    const at = (stamp: string) => cues(text).find(([when]) => when?.startsWith(stamp))?.[1];
    expect(at("00:00:30.000")).toMatch(/^12\.0[01] kN/);
    // Half way up the ramp, 6 s earlier: 6 kN and the tenth of a second that the caption lasts.
    expect(at("00:00:24.000")).toMatch(/^6\.(?:0|1)\d kN/);
    expect(at("00:00:31.000")).toMatch(/^-?0\.0\d kN · highest 12\.0/);
  });

  it("in pounds-force: 12 kN are 2698 lbf (NIST SP 811)", async () => {
    const text = valueIn(await app.captions(pull.id, { filmMomentS: 30, unit: "lbf" }));
    expect(text).toMatch(/269[5-9] lbf|270[0-2] lbf/);
  });

  it("are refused where nobody says where the pull lies, or the recording knows no hour", async () => {
    expect(problemOf(await app.captions(pull.id, {}))?.where?.field).toBe("filmMomentS");
    const byClock = await app.captions(pull.id, { filmStartedAt: "2024-05-01T08:00:00Z" });
    expect(problemOf(byClock)).toMatchObject({
      where: { field: "filmStartedAt" },
      found: "no hour in the file",
    });
    expect(problemOf(await app.captions(pull.id, { filmMomentS: 3, ratePerS: 99 }))?.code).toBe(
      "INPUT_FIELD",
    );
    expect(problemOf(await app.captions("pul-none", { filmMomentS: 3 }))?.code).toBe("BOOK_NOT_FOUND");
  });

  it("by the recording's clock lie at the hour of each sample", async () => {
    // One row each second from 10:00:00 on; the film was begun at 10:00:05.
    const rows = Array.from({ length: 40 }, (_, s) => {
      const force = s < 10 ? 0 : s < 30 ? (s - 10) / 2 : 0;
      return `2024-05-01T10:00:${String(s).padStart(2, "0")}Z,${force.toFixed(3)}`;
    });
    const imported = valueIn(
      await app.importRecording({
        seriesId,
        fileName: "clock.csv",
        layout: {
          ...layout,
          columnNames: ["time", "force_kN"],
          time: { kind: "column", column: 1, format: "date-time" },
        },
        bytes: [new TextEncoder().encode(`time,force_kN\n${rows.join("\n")}\n`)],
      }),
    );
    const text = valueIn(
      await app.captions(imported.pulls[0]?.id ?? "", { filmStartedAt: "2024-05-01T10:00:05Z", ratePerS: 1 }),
    );
    // At 10:00:29, second 24 of the film, the record shows (29 − 10) / 2 = 9.5 kN.
    expect(cues(text).find(([when]) => when?.startsWith("00:00:24.000"))?.[1]).toMatch(/^9\.[45]\d kN/);
  });
});

describe("the record of a pull", () => {
  it("is valid HTML, certifies nothing, and keeps markup in it text", async () => {
    const html = valueIn(await app.pullRecord(pull.id));
    const validator = new HtmlValidate({ extends: ["html-validate:standard"] });
    const report = await validator.validateString(html);
    expect(
      report.results.flatMap(({ messages }) =>
        messages.map(({ ruleId, message }) => `${ruleId}: ${message}`),
      ),
    ).toEqual([]);
    expect(html).toContain("certifies nothing beyond that specimen");
    expect(html.indexOf("certifies nothing")).toBeLessThan(html.indexOf('id="happened"'));
    expect(html).toContain("&lt;script&gt;alert(1)&lt;/script&gt; and <strong>bold</strong>");
    expect(html).not.toMatch(/<script/i);
    expect(html).toContain("12.0"); // kN, as the recording was made
    expect(html).toContain("taper end");
  });

  it("of a pull that is not there is refused", async () => {
    expect(problemOf(await app.pullRecord("pul-none"))?.code).toBe("BOOK_NOT_FOUND");
  });
});
