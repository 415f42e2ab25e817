import fc from "fast-check";
import { expect, it } from "vitest";
import { plainLayout } from "../../../test/setup/plain-layout.ts";
import type { Layout, TimeSource } from "../layout.ts";
import { parseRecording } from "./parse-recording.ts";

// The fast path against its twin: the general reader, which takes every row by itself, on files of any kind of row.

const separators = [",", ";", "\t", "|", "whitespace"] as const;
const timeFormats = ["elapsed-s", "elapsed-ms", "epoch-s", "epoch-us", "date-time", "time-of-day"] as const;

const digits = (most: number) => fc.stringMatching(new RegExp(`^[0-9]{1,${most}}$`));
const sign = fc.constantFrom("", "", "", "-", "+");
const number = fc.oneof(
  { weight: 12, arbitrary: fc.tuple(sign, digits(5), digits(4)).map(([s, a, b]) => `${s}${a}.${b}`) },
  { weight: 3, arbitrary: fc.tuple(sign, digits(7)).map(([s, a]) => s + a) },
  { weight: 1, arbitrary: fc.tuple(sign, digits(14), digits(9)).map(([s, a, b]) => `${s}${a}.${b}`) },
  {
    weight: 1,
    arbitrary: fc.constantFrom(".5", "5.", "-0", "+.25", "1e3", "1.50E-2", "2e400", "1700000000.125"),
  },
);
const odd = fc.constantFrom(
  "",
  " ",
  "-",
  "NaN",
  "x",
  "1.2.3",
  "12kN",
  '"4.5"',
  '"a',
  " 7.25 ",
  "\t8",
  "- 1",
  "# remark",
  ".",
);
const stamp = fc.constantFrom(
  "2024-05-31 14:02:07.5",
  "2024-05-31T14:02:08Z",
  "14:02:07.25",
  "00:00:01",
  "31.05.2024",
);
const cell = fc.oneof(
  { weight: 40, arbitrary: number },
  { weight: 1, arbitrary: odd },
  { weight: 4, arbitrary: stamp },
);

const files = fc
  .record({
    separator: fc.constantFrom(...separators),
    decimal: fc.constantFrom(".", ","),
    names: fc.integer({ min: 1, max: 5 }),
    force: fc.nat(),
    time: fc.option(fc.nat()),
    displacement: fc.option(fc.nat()),
    format: fc.constantFrom(...timeFormats),
    forceUnit: fc.constantFrom("N", "kN", "lbf"),
    inverted: fc.constantFrom(undefined, true, false),
    rows: fc.array(fc.array(cell, { minLength: 5, maxLength: 5 }), { maxLength: 40 }),
    extra: fc.array(
      fc.tuple(fc.nat(40), fc.constantFrom("", "# a remark", "1", ";;;;", "1,2,3,4,5,6,7", "\ufeff1.5")),
      {
        maxLength: 2,
      },
    ),
    lineEnd: fc.constantFrom("\n", "\r\n", "\r"),
    lastEnd: fc.boolean(),
    pieces: fc.array(fc.integer({ min: 1, max: 200 }), { minLength: 1, maxLength: 4 }),
  })
  .map((made) => {
    const { separator, decimal, names, displacement } = made;
    const columnNames = Array.from({ length: names }, (_, at) => `column ${at + 1}`);
    const time: TimeSource =
      made.time === null
        ? { kind: "none" }
        : { kind: "column", column: 1 + (made.time % names), format: made.format };
    const layout: Layout = {
      encoding: "utf-8",
      separator,
      decimal: decimal as "." | ",",
      preambleLines: 0,
      headerRow: true,
      unitRow: false,
      columnNames,
      time,
      force: {
        column: 1 + (made.force % names),
        unit: made.forceUnit as "N" | "kN" | "lbf",
        ...(made.inverted === undefined ? {} : { inverted: made.inverted }),
      },
      ...(displacement === null
        ? {}
        : { displacement: { column: 1 + (displacement % names), unit: "mm" as const } }),
    };
    const between = separator === "whitespace" ? " " : separator;
    const lines = made.rows.map((row) =>
      row
        .slice(0, names)
        .map((text) => (decimal === "," ? text.replace(".", ",") : text))
        .join(between),
    );
    for (const [at, text] of made.extra) lines.splice(at, 0, text);
    const text =
      [columnNames.join(between), ...lines].join(made.lineEnd) + (made.lastEnd ? made.lineEnd : "");
    return { layout, bytes: new TextEncoder().encode(text), pieces: made.pieces };
  });

it("reads what the general reader reads, whatever the rows and however the bytes come", () => {
  fc.assert(
    fc.property(files, ({ layout, bytes, pieces }) => {
      const general = parseRecording(bytes, layout, { plainRows: false });
      expect(parseRecording(bytes, layout, { byKernel: false })).toEqual(general);
      expect(parseRecording(bytes, layout)).toEqual(general);
      expect(parseRecording(cutIn(bytes, pieces), layout)).toEqual(general);
    }),
    { numRuns: 600 },
  );
});

it("reads a long file of plain rows as the general reader does, across its blocks of rows", () => {
  const rows = Array.from({ length: 20_000 }, (_, row) => `${row / 100},x,${((row * 7919) % 4001) / 4}`);
  rows[9000] = "90,x,";
  const bytes = new TextEncoder().encode(`t,note,kN\n${rows.join("\n")}\n`);
  const layout: Layout = {
    ...plainLayout,
    columnNames: ["t", "note", "kN"],
    time: { kind: "column", column: 1, format: "elapsed-ms" },
    force: { column: 3, unit: "kN" },
  };
  const plain = parseRecording(bytes, layout);
  expect(plain).toEqual(parseRecording(bytes, layout, { plainRows: false }));
  // 20,000 rows, one of them without a force; row 1 is at 0.01 ms and holds (7919 mod 4001) / 4 = 979.5 kN.
  if (!plain.ok) throw new Error("refused");
  expect(plain.value.trace.forceN.length).toBe(20_000);
  expect(plain.value.trace.missing).toBe(1);
  expect(plain.value.trace.forceN[1]).toBe(979_500);
  expect(plain.value.trace.timeS?.[1]).toBe(0.00001);
});

function cutIn(bytes: Uint8Array, sizes: readonly number[]): Uint8Array[] {
  const pieces: Uint8Array[] = [];
  for (let at = 0, k = 0; at < bytes.length; k++) {
    const size = sizes[k % sizes.length] as number;
    pieces.push(bytes.slice(at, at + size));
    at += size;
  }
  return pieces;
}
