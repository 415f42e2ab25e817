import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  completeLayout,
  createRecordingParser,
  type Layout,
  layoutHeadBytes,
  maxColumns,
  maxRecordingBytes,
  parseRecording,
  proposeLayout,
  readRecording,
} from "../../src/trace/mod.ts";
import { plainLayout } from "../setup/plain-layout.ts";
import { processorMs } from "../setup/processor-time.ts";

// Files that are no recordings, or hardly. Each must be refused in a sentence with a way out, quickly, and never throw.

const utf8 = (text: string) => new TextEncoder().encode(text);
const latin = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0));

function refusal(bytes: Uint8Array, totalBytes = bytes.length) {
  const proposal = proposeLayout(bytes.subarray(0, layoutHeadBytes), { totalBytes, fileName: "pull-14.csv" });
  return proposal.ok ? undefined : proposal.problems[0];
}

const pull = (rows = 300) =>
  `time_s,force_N\n${Array.from({ length: rows }, (_, row) => `${(row / 100).toFixed(2)},${(row < 50 ? 0 : row < 250 ? (row - 50) * 20 + (row % 3) : 1).toFixed(1)}\n`).join("")}`;

const noise = (count: number) => Uint8Array.from({ length: count }, (_, at) => (at * at * 31 + at * 7) % 256);

describe("is refused with its code, what was found and a way out", () => {
  test.each<[string, Uint8Array, string, string]>([
    ["an empty file", new Uint8Array(0), "TRACE_EMPTY", ""],
    ["a file of blank lines", utf8("\r\n  \r\n\t\r\n"), "TRACE_EMPTY", ""],
    ["a picture named .csv", latin("\x89PNG\r\n\x1a\n\0\0\0\rIHDR"), "TRACE_BINARY", "PNG"],
    ["a photograph", latin("\xff\xd8\xff\xe0\0\x10JFIF\0"), "TRACE_BINARY", "JPEG"],
    ["an animation", latin("GIF89a\x01\0\x01\0"), "TRACE_BINARY", "GIF"],
    ["a PDF", latin("%PDF-1.7\n1 0 obj\n"), "TRACE_BINARY", "PDF"],
    ["a workbook", latin("PK\x03\x04\x14\0\0\0\x08\0xl/workbook.xml"), "TRACE_BINARY", "workbook"],
    ["an archive", latin("PK\x03\x04\x14\0\0\0\x08\0pull-1.csv"), "TRACE_BINARY", "ZIP"],
    ["compressed data", latin("\x1f\x8b\x08\0\0\0\0\0"), "TRACE_BINARY", "gzip"],
    ["a database", latin("SQLite format 3\0\x10\0"), "TRACE_BINARY", "SQLite"],
    ["bytes that are in no text", noise(5000), "TRACE_BINARY", "no text"],
    ["zeros", new Uint8Array(5000), "TRACE_BINARY", "no text"],
    ["a header only", utf8("time_s,force_N\r\n"), "TRACE_HEADER_ONLY", ""],
    ["a header and units only", utf8("Zeit;Kraft\ns;kN\n"), "TRACE_HEADER_ONLY", ""],
    [
      "a letter",
      utf8("Dear tester,\n\nthe rope broke. We were glad; nobody was hurt.\nYours, the loft\n"),
      "TRACE_TEXT",
      "words",
    ],
    ["a web page", utf8("<!DOCTYPE html>\n<html><body>Not found</body></html>\n"), "TRACE_TEXT", "web page"],
    ["JSON", utf8('{"time": "later", "force": "much"}\n'), "TRACE_TEXT", "JSON"],
    ["a column of stamps only", utf8("a\nb\nc\nd\n"), "TRACE_TEXT", "words"],
  ])("%s", (_, bytes, code, found) => {
    const problem = refusal(bytes);
    expect(problem?.code).toBe(code);
    expect(problem?.message).toMatch(/^[A-Z].*\.$/);
    expect(problem?.wayOut).toMatch(/\.$/);
    expect(problem?.found ?? "").toContain(found);
  });

  test("a file over the stated limit, before a byte of it is read", () => {
    const problem = refusal(utf8(pull()), 2 * 1024 ** 3);
    expect(problem).toMatchObject({
      code: "TRACE_TOO_LARGE",
      found: "2147483648 bytes",
      expected: "at most 512 MiB",
    });
    expect(maxRecordingBytes).toBe(512 * 1024 ** 2);
  });

  test("a stream over the limit, with no more of it kept than its samples", () => {
    const layout = layoutOf(pull());
    const parser = createRecordingParser(layout, { maxBytes: 5_000_000 });
    const piece = utf8("1.00,5.0\n".repeat(10_000));
    let pushed = 0;
    while (parser.push(piece)) pushed += piece.length;
    expect(pushed).toBeLessThanOrEqual(5_000_000);
    const answer = parser.finish();
    expect(answer.ok ? [] : answer.problems.map(({ code }) => code)).toEqual(["TRACE_TOO_LARGE"]);
  });

  test.each([
    ["commas", ","],
    ["tabs", "\t"],
    ["blanks", " "],
  ])("a million columns by %s, at once", (_, separator) => {
    const line = Array.from({ length: 1e6 }, (_, column) => column % 10).join(separator);
    const bytes = utf8(`${line}\n${line}\n`);
    const took = processorMs(() => expect(refusal(bytes)?.code).toBe("TRACE_TOO_MANY_COLUMNS"));
    // Some 0.1 s; reading all cells of both lines in every dialect would take far longer.
    expect(took).toBeLessThan(3000);
  });

  test("one column more than the limit is refused, as many as it are not", () => {
    const row = (columns: number) =>
      `${Array.from({ length: columns }, (_, column) => column * column).join(",")}\n`;
    expect(refusal(utf8(row(maxColumns + 1).repeat(3)))?.code).toBe("TRACE_TOO_MANY_COLUMNS");
    expect(refusal(utf8(row(maxColumns).repeat(3)))?.code).not.toBe("TRACE_TOO_MANY_COLUMNS");
  });
});

describe("is read as far as it goes, or not at all", () => {
  test("a file cut anywhere in its last rows: the rest is read, and a cut row is said", () => {
    const text = pull();
    const layout = layoutOf(text);
    for (let cut = text.length - 1; cut > text.length - 30; cut--) {
      const read = readRecording(utf8(text.slice(0, cut)), layout);
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      const whole = text.slice(0, cut).split("\n").slice(1, -1).length;
      const lastIsWhole = /\n\d+\.\d\d,\d+\.\d$/.test(text.slice(0, cut));
      const lineIsEmpty = text[cut - 1] === "\n";
      expect(read.value.reading.rows).toBe(whole + (lastIsWhole ? 1 : 0));
      expect(read.warnings.some(({ code }) => code === "TRACE_CUT")).toBe(!lastIsWhole && !lineIsEmpty);
    }
  });

  test("times that run backward throughout", () => {
    const lines = pull().trim().split("\n");
    const [header = "", ...rows] = lines;
    const backward = [header, ...rows.reverse()].join("\n");
    const layout = layoutOf(pull());
    const read = readRecording(utf8(`${backward}\n`), layout);
    expect(read.ok ? [] : read.problems.map(({ code }) => code)).toEqual(["TRACE_TIME_BACKWARD"]);
  });

  test("a force that is an exact straight line", () => {
    const text = `time_s,force_N\n${Array.from({ length: 100 }, (_, row) => `${row / 10},${row * 5}\n`).join("")}`;
    const read = readRecording(utf8(text), layoutOf(text));
    expect(read.ok ? [] : read.problems.map(({ code, wayOut }) => [code, wayOut])).toEqual([
      ["TRACE_FORCE_STRAIGHT", "Name the column of force with --force-column."],
    ]);
  });

  test("a line of half a megabyte within the rows", () => {
    const text = `${pull()}${"9".repeat(500_000)}\n${pull()}`;
    const answer = parseRecording(utf8(text), layoutOf(pull()));
    expect(answer.ok ? [] : answer.problems.map(({ code }) => code)).toEqual(["TRACE_LINE_LENGTH"]);
  });
});

function layoutOf(text: string): Layout {
  const proposal = proposeLayout(utf8(text));
  if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
  const layout = completeLayout(proposal.value.layout, { forceUnit: "N" });
  if (!layout.ok) throw new Error(JSON.stringify(layout.problems));
  return layout.value;
}

describe("nothing throws", () => {
  const seeds = [
    pull(80),
    "Zeit;Kraft\ns;kN\n0,1;2,5\n0,2;3,5\n0,3;9,5\n",
    '2024-05-31 14:02:01,"1,5",x\n2024-05-31 14:02:02,NA,y\n'.repeat(20),
    "# t f\n0 1\n1 2\n2 1\n",
  ].map(utf8);
  const edit = fc.record({
    at: fc.nat(),
    byte: fc.nat({ max: 255 }),
    kind: fc.constantFrom("set", "cut", "insert", "repeat"),
  });

  test("on recordings with bytes changed, cut, put in and repeated", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...seeds),
        fc.array(edit, { minLength: 1, maxLength: 12 }),
        (seed, edits) => {
          let bytes = [...seed];
          for (const { at, byte, kind } of edits) {
            const place = at % (bytes.length + 1);
            if (kind === "set") bytes[Math.min(place, bytes.length - 1)] = byte;
            if (kind === "cut") bytes.splice(place, byte);
            if (kind === "insert") bytes.splice(place, 0, byte);
            if (kind === "repeat")
              bytes = [...bytes.slice(0, place), ...bytes.slice(Math.max(0, place - byte))];
          }
          tryAll(Uint8Array.from(bytes));
        },
      ),
      { numRuns: 600 },
    );
  });

  test("on any bytes, and on any text", () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), tryAll), { numRuns: 1500 });
    const letters = fc.constantFrom(
      ..."0123456789.,;:-+eE \t\n\r|\"'TZ/#tF(kN)".split(""),
      "NA",
      "2024-05-31",
      "14:02:07",
    );
    fc.assert(
      fc.property(fc.array(letters, { maxLength: 120 }), (parts) => tryAll(utf8(parts.join("")))),
      { numRuns: 3000 },
    );
  });
});

/** Proposes, completes, parses and reads, with whatever can be had; a problem is an answer, a throw is not. */
function tryAll(bytes: Uint8Array): void {
  const fallback: Layout = { ...plainLayout, time: { kind: "column", column: 1, format: "date-time" } };
  const proposal = proposeLayout(bytes);
  const layout = proposal.ok
    ? completeLayout(proposal.value.layout, { forceUnit: "kN", timeUnit: "ms" })
    : undefined;
  for (const used of layout?.ok ? [layout.value, fallback] : [fallback]) {
    const read = readRecording(bytes, used);
    if (!read.ok) {
      expect(read.problems.length).toBeGreaterThan(0);
      continue;
    }
    for (const pull of read.value.reading.pulls)
      for (const [name, value] of Object.entries(pull))
        if (typeof value === "number" && !Number.isFinite(value)) throw new Error(`${name} is ${value}`);
  }
}
