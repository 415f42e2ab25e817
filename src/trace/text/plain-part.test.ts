import fc from "fast-check";
import { expect, it } from "vitest";
import type { Layout } from "../layout.ts";
import { createRecordingParser, parseRecording } from "./parse-recording.ts";
import { createPlainPartReader } from "./plain-part.ts";

// A recording cut in two at any line end, its second part read apart: the same samples, problems, line numbers and
// warnings as read in one.

const layout: Layout = {
  encoding: "utf-8",
  separator: ",",
  decimal: ".",
  preambleLines: 1,
  headerRow: true,
  unitRow: false,
  columnNames: ["t", "lbf", "mm"],
  time: { kind: "column", column: 1, format: "elapsed-ms" },
  force: { column: 2, unit: "lbf", inverted: true },
  displacement: { column: 3, unit: "mm" },
};

const odd = fc.constantFrom(
  "",
  "1,,3",
  "1,x,3",
  "# remark",
  "t,lbf,mm",
  "the end",
  '5,"6",7',
  "1,2",
  "1,2,3,",
  "1,2,3,4",
  "9,1e2,3",
  "1,123456789.123456789,2",
);
const files = fc.record({
  rows: fc.integer({ min: 0, max: 120 }),
  odds: fc.array(fc.tuple(fc.nat(), odd), { maxLength: 3 }),
  lineEnd: fc.constantFrom("\n", "\r\n"),
  lastEnd: fc.boolean(),
  cut: fc.nat(),
  pieces: fc.integer({ min: 30, max: 3000 }),
  room: fc.constantFrom(0, 5, 4000),
});

it("is what the same rows are in one reading, wherever the file is cut", () => {
  fc.assert(
    fc.property(files, ({ rows, odds, lineEnd, lastEnd, cut, pieces, room }) => {
      const lines = Array.from({ length: rows }, (_, row) => `${row},${(row * 37) % 1000}.5,${row / 4}`);
      for (const [at, text] of odds) lines.splice(at % (lines.length + 1), 0, text);
      const text = ["logger 7", "t,lbf,mm", ...lines].join(lineEnd) + (lastEnd ? lineEnd : "");
      const bytes = new TextEncoder().encode(text);
      const whole = parseRecording(bytes, layout, { plainRows: false });

      const ends = [...text].flatMap((letter, at) => (letter === "\n" ? [at + 1] : []));
      const from = ends[cut % ends.length] ?? 0;
      // Both parts grow in one memory, as two threads' do; where it is too small each goes its own way.
      const memory = [0, 1, 2].map(() => new Float64Array(2 * room));
      const reader = createPlainPartReader(
        layout,
        memory.map((values) => ({ values: values.subarray(room), room })),
      );
      if (reader === undefined) throw new Error("not read in parts");
      let at = from;
      for (let to = from; to < bytes.length && !reader.isDone; ) {
        to = Math.min(bytes.length, to + pieces);
        at += reader.read(bytes.subarray(at, to));
      }
      const part = reader.take();
      expect(part.bytes).toBe(at - from);

      const parser = createRecordingParser(layout, { memory: memory.map((values) => ({ values, room })) });
      parser.push(bytes.subarray(0, from));
      parser.push(bytes.subarray(parser.append(part) ? at : from));
      expect(parser.finish()).toEqual(whole);
    }),
    { numRuns: 300, seed: 5 },
  );
});

it("is not read by layouts whose rows count from the first", () => {
  const counted: Layout = { ...layout, time: { kind: "column", column: 1, format: "epoch-ms" } };
  expect(createPlainPartReader(counted)).toBeUndefined();
  expect(createPlainPartReader({ ...layout, segment: { column: 3 } })).toBeUndefined();
});

it("is refused within a line", () => {
  const parser = createRecordingParser(layout);
  parser.push(new TextEncoder().encode("logger 7\nt,lbf,mm\n1,2,3\n4,5"));
  const reader = createPlainPartReader(layout);
  reader?.read(new TextEncoder().encode("7,8,9000\n"));
  const part = reader?.take();
  expect(part?.columns[2]).toEqual(Float64Array.of(9));
  expect(part !== undefined && parser.append(part)).toBe(false);
});
