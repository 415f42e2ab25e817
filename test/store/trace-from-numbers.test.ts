import fc from "fast-check";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Store, StoredRecording } from "../../src/app/mod.ts";
import { traceFromNumbers } from "../../src/app/use-cases/trace-of.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { drawRecording, type Layout, parseRecording, type Trace } from "../../src/trace/mod.ts";
import { valueIn } from "../app/open-app.ts";
import { add, recordingOf } from "./examples.ts";

// The trace that comes from the numbers of a book is held, bit by bit and with its warnings, against the one that is parsed
// from the text by the general reader, which looks at each row by itself.

let book: Store;
let seriesId: string;
beforeAll(async () => {
  book = valueIn(await openSqliteBook(":memory:", { create: true }));
  seriesId = (await add(book, "series", { title: "numbers" })).id;
});
afterAll(() => book.close());

/** How many rows were taken as numbers; nothing where the text was asked for. */
async function rowsTaken(bytes: Uint8Array, layout: Layout): Promise<number | undefined> {
  const plain = parseRecording(bytes, layout, { plainRows: false });
  const base = recordingOf(seriesId, bytes);
  const rows = plain.ok ? plain.value.trace.forceN.length : 0;
  const recording: StoredRecording = { ...base, layout, reading: { ...base.reading, rows } };
  if ((await book.read.getRecording(base.sha256)) === undefined)
    await book.transaction((work) => work.insertRecording(recording, [bytes]));
  let taken = 0;
  const read: Store["read"] = {
    ...book.read,
    recordingRows: (sha256, reader) =>
      book.read.recordingRows(sha256, {
        text: reader.text,
        rows(next, textOf) {
          let isText = false;
          reader.rows(next, () => {
            isText = true;
            return textOf();
          });
          if (!isText) taken += next.rows;
        },
      }),
  };
  const found = await traceFromNumbers(read, recording);
  if (found === undefined) return undefined;
  expect(found.ok).toBe(plain.ok);
  if (!found.ok || !plain.ok) return taken;
  expect(bitsOf(found.value)).toEqual(bitsOf(plain.value.trace));
  expect(found.warnings).toEqual(plain.warnings);
  return taken;
}

/** Columns as their bytes: −0 is not 0, and no digit is rounded. */
function bitsOf(trace: Trace) {
  return Object.fromEntries(
    Object.entries(trace).map(([name, value]) => [
      name,
      ArrayBuffer.isView(value)
        ? Buffer.from(value.buffer, value.byteOffset, value.byteLength).toString("base64")
        : value,
    ]),
  );
}

it("is the trace of the text in recordings as loggers write and spoil them", async () => {
  let [byNumbers, byText] = [0, 0];
  for (let seed = 1; seed <= 40; seed++) {
    const { bytes, layout } = drawRecording(seed);
    if (((await rowsTaken(bytes, layout)) ?? 0) > 0) byNumbers++;
    else byText++;
  }
  // Stamps of date and segments go by their text.
  expect(byNumbers).toBeGreaterThan(20);
  expect(byText).toBeGreaterThan(3);
});

// Cells that say the same in many ways, and such as say nothing: signs, zeros, blanks, exponents, quotes, missing words.
const cells: readonly ((row: number, chance: number) => string)[] = [
  (row) => (row / 100).toFixed(2),
  (row) => String(row * 40),
  (row) => String(1_700_000_000_123 + row * 7),
  (_, chance) => ((chance % 4001) / 100 - 20).toFixed(2),
  (_, chance) => ((chance % 4001) / 100 - 20).toFixed(2).padStart(9),
  (_, chance) => `${((chance % 4001) / 100 - 20).toFixed(1)}\t `,
  (_, chance) => (chance / 7).toFixed(chance % 5),
  (_, chance) => (chance % 3 === 0 ? "-0.00" : (chance % 5).toFixed(2)),
  (_, chance) => (chance % 7 === 0 ? "-0" : `+${chance % 1000}.5`),
  (_, chance) => String(chance % 1000).padStart(5, "0"),
  (_, chance) => `${chance % 1000}.${String(chance).padStart(11, "0")}`,
  (_, chance) => `${chance}${String(chance * 31).padStart(8, "0")}`.slice(0, 16),
  (_, chance) => (chance % 50 === 0 ? "" : "12.5"),
  (_, chance) => (chance % 60 === 0 ? "NaN" : "7"),
  (_, chance) => (chance % 45 === 0 ? "1.5e3" : "2.5"),
  (_, chance) => (chance % 70 === 0 ? '"3.5"' : "3.5"),
  (_, chance) => (chance % 80 === 0 ? "-" : "4.5"),
  (_, chance) => (chance % 90 === 0 ? "5-5" : "5.5"),
  (_, chance) => (chance % 90 === 0 ? "1.2.3" : "1.2"),
  (_, chance) => (chance % 90 === 0 ? ".5" : chance % 91 === 0 ? "5." : "0.5"),
  (_, chance) => `A${chance % 9}`,
];
const oddLines = [
  "",
  "# remark 1, 2",
  "1",
  "1;2;3;4;5;6",
  "t1;f2",
  "the end",
  "1,5",
  "\uFEFF1;2;3",
  "1;2\r3;4",
  '"1";2;3',
];

/** Mostly the first, and sometimes another. */
const mostly = <T>(usual: T, ...others: T[]) =>
  fc.oneof(
    { weight: 8, arbitrary: fc.constant(usual) },
    { weight: others.length === 0 ? 0 : 1, arbitrary: fc.constantFrom(...others, usual) },
  );
const files = fc.record({
  picked: fc.array(
    fc.oneof({ weight: 9, arbitrary: fc.nat(9) }, { weight: 1, arbitrary: fc.nat(cells.length - 1) }),
    { minLength: 2, maxLength: 4 },
  ),
  seed: fc.integer({ min: 1, max: 1_000_000 }),
  rows: fc.oneof(fc.integer({ min: 1, max: 80 }), fc.integer({ min: 250, max: 700 })),
  headings: mostly(true, false),
  odds: fc.array(fc.tuple(fc.nat(), fc.constantFrom(...oddLines)), { maxLength: 2 }),
  lineEnd: mostly("\n", "\r\n", "\r\n", "\r\n", "\r"),
  closed: fc.boolean(),
  bom: fc.boolean(),
  written: fc.constantFrom(
    { separator: ",", decimal: "." },
    { separator: ";", decimal: "," },
    { separator: "\t", decimal: "." },
  ),
});
const layouts = fc.record({
  separator: mostly("as written", ",", ";", "|", "whitespace"),
  decimal: mostly("as written", ".", ","),
  encoding: mostly("utf-8", "windows-1252", "utf-16le"),
  preambleLines: fc.constantFrom(0, 0, 2),
  headerRow: fc.boolean(),
  unitRow: fc.boolean(),
  more: mostly(0, 1),
  columns: fc.shuffledSubarray([1, 2, 3, 4], { minLength: 4 }),
  format: fc.constantFrom(
    "none",
    "rate",
    "elapsed-s",
    "elapsed-ms",
    "elapsed-us",
    "epoch-s",
    "epoch-ms",
    "epoch-us",
    "date-time",
  ),
  unit: fc.constantFrom("N", "kN", "lbf", "kgf"),
  inverted: fc.constantFrom(true, false, undefined),
  displacement: mostly(undefined, "mm", "in"),
  segment: mostly(false, true),
});

it("is the trace of the text whatever stands in the file and whatever the layout says", async () => {
  let byNumbers = 0;
  await fc.assert(
    fc.asyncProperty(files, layouts, async (file, said) => {
      const taken = await rowsTaken(bytesOf(file, said), layoutAs(file.picked.length, file.written, said));
      if ((taken ?? 0) > 0) byNumbers++;
    }),
    { numRuns: 400, seed: 11, endOnFailure: true },
  );

  // The test shows nothing where nothing was taken.
  expect(byNumbers).toBeGreaterThan(30);
});

type Arbitrary<T> = T extends fc.Arbitrary<infer Value> ? Value : never;

function bytesOf(
  { picked, seed, rows, odds, lineEnd, closed, bom, written, headings }: Arbitrary<typeof files>,
  said: Arbitrary<typeof layouts>,
): Uint8Array {
  let state = seed;
  const lines = Array.from({ length: rows }, (_, row) => {
    state = (state * 48_271) % 2_147_483_647;
    const text = picked.map((one) => (cells[one]?.(row, state) ?? "").replaceAll(".", written.decimal));
    return text.join(written.separator);
  });
  const { preambleLines, headerRow, unitRow } = said;
  const words = headings ? preambleLines + Number(headerRow) + Number(unitRow) : 0;
  lines.unshift(...Array.from({ length: words }, () => "some words"));
  for (const [at, text] of odds) lines.splice(at % (lines.length + 1), 0, text);
  return new TextEncoder().encode((bom ? "\uFEFF" : "") + lines.join(lineEnd) + (closed ? lineEnd : ""));
}

function layoutAs(
  count: number,
  written: { readonly separator: string; readonly decimal: string },
  said: Arbitrary<typeof layouts>,
): Layout {
  const [time, force, other] = said.columns.filter((column) => column <= Math.max(count, 3)) as [
    number,
    number,
    number,
  ];
  const { format } = said;
  return {
    encoding: said.encoding,
    separator: said.separator === "as written" ? written.separator : said.separator,
    decimal: said.decimal === "as written" ? written.decimal : said.decimal,
    preambleLines: said.preambleLines,
    headerRow: said.headerRow,
    unitRow: said.unitRow,
    columnNames: Array.from({ length: count + said.more }, (_, at) => `column ${at + 1}`),
    time:
      format === "none"
        ? { kind: "none" }
        : format === "rate"
          ? { kind: "rate", hz: 100 }
          : { kind: "column", column: time, format },
    force: {
      column: force,
      unit: said.unit,
      ...(said.inverted === undefined ? {} : { inverted: said.inverted }),
    },
    ...(said.displacement === undefined ? {} : { displacement: { column: other, unit: said.displacement } }),
    ...(said.segment ? { segment: { column: other } } : {}),
  } as Layout;
}
