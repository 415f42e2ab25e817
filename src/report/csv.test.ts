import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { judgeSeries } from "../findings/mod.ts";
import { seriesFields } from "../series/mod.ts";
import { csvCell, csvLink, pullsCsv } from "./mod.ts";

/** A second, naive reader of RFC 4180, to read back what was written. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = "";
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text.charAt(i);
    if (quoted && c === '"' && text.charAt(i + 1) === '"') cell += text.charAt(++i);
    else if (c === '"') quoted = !quoted;
    else if (!quoted && c === ",") {
      row.push(cell);
      cell = "";
    } else if (!quoted && c === "\r" && text.charAt(i + 1) === "\n") {
      i++;
      rows.push([...row, cell]);
      row = [];
      cell = "";
    } else cell += c;
  }
  return rows;
}

// The starts that spreadsheets take for a formula, as the public guidance on CSV injection lists them (from memory).
test.each(["=1+1", "+1", "-1+2", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "  =1", "=cmd|' /C calc'!A0"])(
  "%j does not reach a spreadsheet as a formula",
  (formula) => {
    expect(readCsv(`${csvCell(formula)}\r\n`)).toEqual([[`'${formula}`]]);
  },
);

test("a text that looks guarded already gets one guard more, so that taking one away always gives the text", () => {
  const guarded = ["'=1", "''+1", "' @x", "'plain", "it's"].map(csvCell);
  expect(guarded).toEqual(["''=1", "'''+1", "'' @x", "'plain", "it's"]);
});

test("numbers stay numbers, also below zero, and what is not known stays empty", () => {
  expect([-5, 0.1, 1e21, Number.NaN, undefined].map(csvCell)).toEqual(["-5", "0.1", "1e+21", "", ""]);
});

test("any text is read back as it was, but for the guard", () => {
  fc.assert(
    fc.property(fc.string({ unit: "grapheme" }), (text) => {
      const [[back] = []] = readCsv(`${csvCell(text)}\r\n`);
      expect([text, `'${text}`]).toContain(back ?? "");
    }),
  );
});

describe("the data of a report", () => {
  const series = {
    id: "ser-test",
    ...seriesFields.parse({ title: "Invented", factors: [{ name: "=bury", unit: "d", levels: [30] }] }),
  };
  const findings = judgeSeries(series, [
    {
      pullId: "p1",
      specimenLabel: 'a "b", c',
      levels: { "=bury": 30 },
      strengthN: 50_000.5,
      strengthSource: "reading",
      outcome: { kind: "broke", place: "-throat" },
      ratedStrengthN: 30_000,
      legs: 2,
      warnings: [],
    },
    { pullId: "p2", levels: {}, strengthSource: "none", warnings: [] },
  ]);
  const rows = readCsv(pullsCsv({ series, findings }));
  const column = (name: string, row: number) => rows[row]?.[rows[0]?.indexOf(name) ?? -1];

  test("has every pull, all rows as long as the header, and units in the header", () => {
    expect(rows.length).toBe(3);
    expect(new Set(rows.map((row) => row.length)).size).toBe(1);
    expect(rows[0]).toContain("'=bury (d)");
    expect(rows[0]).toEqual(
      expect.arrayContaining([
        "strength_n",
        "leg_efficiency_fraction",
        "loading_rate_n_per_s",
        "bury_full_mm",
      ]),
    );
  });

  test("has the numbers unrounded and the texts guarded", () => {
    expect(column("strength_n", 1)).toBe("50000.5");
    expect(Number(column("leg_efficiency_fraction", 1))).toBe(50_000.5 / 60_000);
    expect(column("specimen", 1)).toBe('a "b", c');
    expect(column("place", 1)).toBe("'-throat");
    expect(column("why_left_out", 2)).toBe("not yet judged: nobody has said how it ended");
    expect(column("simulated", 2)).toBe("no");
  });

  test("fits into a link, whatever the text", () => {
    expect(decodeURIComponent(csvLink("ü,%\r\n\uD800").slice("data:text/csv;charset=utf-8,".length))).toBe(
      "ü,%\r\n\uFFFD",
    );
  });
});
