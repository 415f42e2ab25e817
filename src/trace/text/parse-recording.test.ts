import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { plainLayout as plain } from "../../../test/setup/plain-layout.ts";
import { processorMs } from "../../../test/setup/processor-time.ts";
import type { Layout } from "../layout.ts";
import { readRecording } from "../read-recording.ts";
import { splitCells } from "./cells.ts";
import { createRecordingParser, type ParsedRecording, parseRecording } from "./parse-recording.ts";

const utf8 = (text: string) => new TextEncoder().encode(text);

function parse(text: string | Uint8Array, layout: Layout = plain): ParsedRecording & { warned: string[] } {
  const parsed = parseRecording(typeof text === "string" ? utf8(text) : text, layout);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return { ...parsed.value, warned: parsed.warnings.map(({ code }) => code) };
}

const forces = ({ trace }: ParsedRecording) => Array.from(trace.forceN);
const times = ({ trace }: ParsedRecording) => Array.from(trace.timeS ?? []);

describe("samples", () => {
  test("are the file's numbers in newtons and seconds", () => {
    const parsed = parse("time_s,force_N\n0,1.5\n0.1,2.5\n");
    expect([times(parsed), forces(parsed)]).toEqual([
      [0, 0.1],
      [1.5, 2.5],
    ]);
  });

  test.each([
    ["kN", 1000],
    ["daN", 10],
    ["kgf", 9.80665],
    ["gf", 0.00980665],
    ["tf", 9806.65],
    // 0.453 592 37 kg × 9.806 65 m/s², both exact by NIST SP 811.
    ["lbf", 4.4482216152605],
    ["kip", 4448.2216152605],
  ] as const)("in %s are %d N each", (unit, newtons) => {
    const layout = { ...plain, force: { ...plain.force, unit } };
    expect(forces(parse("t,f\n0,2\n", layout))[0]).toBeCloseTo(2 * newtons, 9);
  });

  test.each([
    ["elapsed-ms", "1500", 1.5],
    ["elapsed-us", "1500000", 1.5],
  ] as const)("by a column of %s count from where the file counts", (format, cell, seconds) => {
    const layout = { ...plain, time: { ...plain.time, format } as Layout["time"] };
    expect(times(parse(`t,f\n${cell},2\n`, layout))).toEqual([seconds]);
  });

  test.each([
    ["epoch-s", "1700000000.25", "1700000000.75", "2023-11-14T22:13:20.250Z"],
    ["epoch-ms", "1700000000250", "1700000000750", "2023-11-14T22:13:20.250Z"],
    ["epoch-us", "1700000000250000", "1700000000750000", "2023-11-14T22:13:20.250Z"],
    ["date-time", "2023-11-14T22:13:20.25+00:00", "2023-11-14T22:13:20.75+00:00", "2023-11-14T22:13:20.250Z"],
    ["date-time", "2023-11-14 22:13:20.25", "2023-11-14 22:13:20.75", "2023-11-14T22:13:20.250"],
  ] as const)("by stamps of %s count from the first row", (format, first, second, startedAt) => {
    const layout = { ...plain, time: { kind: "column", column: 1, format } as const };
    const parsed = parse(`t,f\n${first},1\n${second},2\n`, layout);
    expect(times(parsed)[0]).toBe(0);
    // Seconds of the epoch with a fraction are doubles of 2.4e-7 s.
    expect(times(parsed)[1]).toBeCloseTo(0.5, 6);
    expect(parsed.trace.startedAt).toBe(startedAt);
  });

  test("by times of day pass midnight", () => {
    const layout = { ...plain, time: { kind: "column", column: 1, format: "time-of-day" } as const };
    expect(times(parse("t,f\n23:59:59.5,1\n00:00:00.5,2\n00:00:01,3\n", layout))).toEqual([0, 1, 1.5]);
  });

  test("by a rate are evenly spaced, and there is no time without one", () => {
    expect(times(parse("t,f\n9,1\n9,2\n9,3\n", { ...plain, time: { kind: "rate", hz: 4 } }))).toEqual([
      0, 0.25, 0.5,
    ]);
    expect(parse("t,f\n9,1\n", { ...plain, time: { kind: "none" } }).trace).not.toHaveProperty("timeS");
  });

  test("may be turned round, and carry displacement and segments", () => {
    const layout: Layout = {
      ...plain,
      columnNames: ["time_s", "force_N", "travel_mm", "pull"],
      force: { ...plain.force, inverted: true },
      displacement: { column: 3, unit: "mm" },
      segment: { column: 4 },
    };
    const parsed = parse("t,f,d,p\n0,-1,5,A\n1,-2,6,\n2,-3,NA,B\n", layout);
    expect(forces(parsed)).toEqual([1, 2, 3]);
    expect(Array.from(parsed.trace.displacementM ?? [])).toEqual([0.005, 0.006, Number.NaN]);
    expect(Array.from(parsed.trace.segment ?? [])).toEqual([1, 1, 2]);
  });

  test.each(["", "NA", "NaN", "--", '""', "null"])(
    "a cell of %j is missing, and nothing is put there",
    (cell) => {
      const parsed = parse(`t,f\n0,1\n1,${cell}\n2,3\n`);
      expect(forces(parsed)).toEqual([1, Number.NaN, 3]);
      expect([parsed.trace.missing, parsed.problems]).toEqual([1, []]);
    },
  );

  test("are the same from CR, LF and CRLF, and with a mark at the front", () => {
    for (const end of ["\n", "\r\n", "\r"])
      expect(forces(parse(`\ufefftime_s,force_N${end}0,1${end}${end}1,2${end}`))).toEqual([1, 2]);
  });

  test("empty rows of separators are no rows", () => {
    expect(forces(parse("t,f\n0,1\n,\n , \n1,2\n,\n"))).toEqual([1, 2]);
  });
});

describe("the plain twin", () => {
  // A reader that splits strings, for every random file of numbers; and the pieces may be cut anywhere.
  const cell = fc.oneof(
    fc.double({ min: -1e6, max: 1e6, noNaN: true }).map(String),
    fc.integer({ min: -1e9, max: 1e9 }).map((value) => (value / 1000).toFixed(3)),
    fc.constantFrom("NA", ""),
  );

  test("finds the same samples", () => {
    const file = fc.array(fc.tuple(fc.integer({ min: 0, max: 1e6 }), cell), { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(
        file,
        fc.constantFrom(",", ";", "\t", "|"),
        fc.constantFrom("\n", "\r\n", "\r"),
        fc.integer({ min: 1, max: 40 }),
        (lines, separator, end, size) => {
          const rows = lines.map(([time, force], at) => [String(at + time / 1e7), force] as const);
          const text = `t${separator}f${end}${rows.map((row) => row.join(separator) + end).join("")}`;
          const twin = text
            .split(end)
            .slice(1, -1)
            .map((line) => splitCells(line, separator as Layout["separator"]))
            .map(([time, force]) => [
              Number(time),
              force === "NA" || force === "" ? Number.NaN : Number(force),
            ]);
          const layout = { ...plain, separator: separator as Layout["separator"] };
          const bytes = utf8(text);
          const pieces = Array.from({ length: Math.ceil(bytes.length / size) }, (_, at) =>
            bytes.subarray(at * size, (at + 1) * size),
          );
          for (const input of [bytes, pieces]) {
            const parsed = parseRecording(input, layout);
            if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
            expect(times(parsed.value)).toEqual(twin.map(([time]) => time));
            expect(forces(parsed.value)).toEqual(twin.map(([, force]) => force));
          }
        },
      ),
    );
  });
});

describe("a row that cannot be read", () => {
  test("is a problem with line, column, text, what was found and the way out", () => {
    const layout = { ...plain, separator: ";" as const, columnNames: ["time", "force"] };
    const parsed = parse("time;force\n40.55;12.3\n40.56;12,4\n", layout);
    expect(parsed.problems).toEqual([
      {
        code: "TRACE_NUMBER",
        message: "A force cannot be read: this is not a number.",
        where: { line: 3, column: "force", text: "40.56;12,4" },
        found: "12,4",
        expected: "a number such as 12.4",
        wayOut: "Decimal commas? Import again with --decimal comma.",
      },
    ]);
  });

  test("is one of at most twenty that are listed; all are counted", () => {
    const parsed = parse(`t,f\n0,1\n${Array.from({ length: 50 }, (_, at) => `${at},x1\n`).join("")}99,2\n`);
    expect([parsed.problems.length, parsed.problemCount]).toEqual([20, 50]);
  });

  test.each([
    ["1,234.5", '0,"1,234.5"', "Thousands marks"],
    ["12.4kN", "0,12.4kN", "without units"],
    ["OL", "0,OL", "clipped"],
  ])("%s says its own way out", (_, row, wayOut) => {
    expect(parse(`t,f\n0,1\n${row}\n1,2\n`).problems[0]?.wayOut).toContain(wayOut);
  });

  test("keeps the rest, and readRecording takes in all or nothing", () => {
    const text = "t,f\n0,1\n1,1O\n2,3\n";
    expect(forces(parse(text))).toEqual([1, 3]);
    const read = readRecording(utf8(text), plain);
    expect(read.ok ? [] : read.problems.map(({ code }) => code)).toEqual(["TRACE_NUMBER"]);
  });

  test("in windows-1252 is quoted in its own letters", () => {
    const bytes = Uint8Array.from("t,f\n0,1\n1,5\u00b5\n2,3\n", (character) => character.charCodeAt(0));
    const { problems } = parse(bytes, { ...plain, encoding: "windows-1252" });
    expect(problems[0]?.found).toBe("5µ");
  });

  test("a time that is none", () => {
    const { problems } = parse("t,f\n0,1\nlater,2\n3,4\n");
    expect(problems.map(({ code, where, found }) => [code, where?.line, found])).toEqual([
      ["TRACE_TIME", 3, "later"],
    ]);
  });

  test("more numbers than columns", () => {
    const { problems } = parse("t,f\n0,1\n0,1,12,4\n");
    expect(problems.map(({ code }) => code)).toEqual(["TRACE_ROW_LENGTH"]);
  });
});

describe("rows that are left out with a warning", () => {
  test.each([
    ["the header again", "t,f\n0,1\ntime_s,force_N\n1,2\n", "TRACE_HEADER_REPEATED"],
    ["remarks", "t,f\n0,1\n# paused\n1,2\n", "TRACE_COMMENT"],
    ["words at the end", "t,f\n0,1\n1,2\nEnd of recording\n", "TRACE_FOOTER"],
    ["a last row without its force", "t,f\n0,1\n1,2\n1.", "TRACE_CUT"],
    ["a last number without its end", "t,f\n0,1.25\n1,2.50\n2,3.e", "TRACE_CUT"],
    ["neither time nor force", "t,f,n\n0,1,a\n1,2,b\n,,c\n", "TRACE_ROW_TIMELESS"],
  ])("%s", (_, text, code) => {
    const columnNames = text.startsWith("t,f,n") ? ["t", "f", "n"] : ["time_s", "force_N"];
    const parsed = parse(text, { ...plain, columnNames });
    expect([parsed.trace.forceN.length, parsed.problems, parsed.warned]).toEqual([2, [], [code]]);
  });

  test("words between rows are no closing words but a problem", () => {
    expect(parse("t,f\n0,1\nEnd of recording\n1,2\n").problems.map(({ code }) => code)).toEqual([
      "TRACE_TIME",
    ]);
  });

  test("a short row is read as far as it goes; a long one as far as there are columns", () => {
    const short = parse("t,f\n0,1\n1\n2,3\n");
    expect([forces(short), short.warned]).toEqual([[1, Number.NaN, 3], ["TRACE_ROW_SHORT"]]);
    const long = parse("t,f\n0,1\n1,2,operator's note\n2,3,,\n");
    expect([forces(long), long.warned]).toEqual([[1, 2, 3], ["TRACE_ROW_LONG"]]);
  });

  test("a last row without a line end is kept where nothing is wanting, and left out where digits are", () => {
    const fixed = Array.from({ length: 12 }, (_, row) => `${row},${row * row}.25\n`).join("");
    expect(forces(parse(`t,f\n${fixed}12,144.25`)).length).toBe(13);
    expect(forces(parse(`t,f\n${fixed}12,144.2`)).length).toBe(12);
    expect(forces(parse("t,f\n0,1.25\n1,2"))).toEqual([1.25, 2]);
  });
});

describe("columns that cannot be what they are taken for", () => {
  const count = 200;
  const file = (time: (row: number) => number | string, force: (row: number) => number | string) =>
    `t,f\n${Array.from({ length: count }, (_, row) => `${time(row)},${force(row)}\n`).join("")}`;
  const wave = (row: number) => (100 * Math.sin(row / 30) ** 2).toFixed(2);

  test.each([
    ["a counter", (row: number) => row + 1],
    ["a clock with rounding", (row: number) => (row * 0.0333).toFixed(2)],
    ["milliseconds", (row: number) => 5000 - row * 10],
  ])("force: %s", (_, force) => {
    expect(parse(file((row) => row / 10, force)).problems.map(({ code }) => code)).toEqual([
      "TRACE_FORCE_STRAIGHT",
    ]);
  });

  test("force: straight in an uneven time", () => {
    const uneven = (row: number) => row + (row % 3) / 10;
    expect(parse(file(uneven, (row) => 2.5 * uneven(row))).problems.map(({ code }) => code)).toEqual([
      "TRACE_FORCE_STRAIGHT",
    ]);
  });

  test("force: a measured ramp is not exactly straight", () => {
    expect(
      parse(
        file(
          (row) => row / 10,
          (row) => (row * 3 + Math.sin(row * row)).toFixed(2),
        ),
      ).problems,
    ).toEqual([]);
  });

  test("time: backward throughout", () => {
    const parsed = parse(file((row) => 500 - row, wave));
    expect(parsed.problems.map(({ code, where }) => [code, where?.row])).toEqual([
      ["TRACE_TIME_BACKWARD", 2],
    ]);
  });

  test("time: backward twice is a warning that says where", () => {
    const parsed = parse(file((row) => (row === 50 || row === 120 ? row - 1.5 : row), wave));
    expect([parsed.problems, parsed.warned]).toEqual([[], ["TRACE_TIME_BACKWARD"]]);
  });

  test("time: a clock that starts again is a warning that says where", () => {
    const answer = parseRecording(utf8(file((row) => row % 100, wave)), plain);
    expect(answer.ok && answer.warnings.map(({ code, where }) => [code, where?.row])).toEqual([
      ["TRACE_CLOCK_RESET", 101],
    ]);
  });
});

describe("limits", () => {
  test("more bytes than the limit are refused as soon as they come", () => {
    const parser = createRecordingParser(plain, { maxBytes: 100 });
    expect(parser.push(utf8("t,f\n0,1\n"))).toBe(true);
    expect(parser.push(new Uint8Array(200))).toBe(false);
    const answer = parser.finish();
    expect(answer.ok ? [] : answer.problems.map(({ code }) => code)).toEqual(["TRACE_TOO_LARGE"]);
  });

  test("a caller may stop the reading", () => {
    const answer = parseRecording(utf8("t,f\n0,1\n"), plain, { onProgress: () => false });
    expect(answer.ok ? [] : answer.problems.map(({ code }) => code)).toEqual(["TRACE_STOPPED"]);
  });

  test("a line that does not end is refused without being kept", () => {
    const endless = function* () {
      yield utf8("t,f\n0,1\n");
      for (let piece = 0; piece < 1000; piece++) yield utf8("1".repeat(4096));
    };
    const answer = parseRecording(endless(), plain);
    expect(answer.ok ? [] : answer.problems.map(({ code, where }) => [code, where?.line])).toEqual([
      ["TRACE_LINE_LENGTH", 3],
    ]);
  });

  test.each([
    ["", "TRACE_EMPTY"],
    ["time_s,force_N\r\n", "TRACE_HEADER_ONLY"],
  ])("%j holds no rows", (text, code) => {
    const answer = parseRecording(utf8(text), plain);
    expect(answer.ok ? [] : answer.problems.map((problem) => problem.code)).toEqual([code]);
  });
});

test("a million rows are parsed and read without anything that grows faster than they do", () => {
  const rows = (count: number) => {
    const lines = ["time_s,force_N\r\n"];
    for (let row = 0; row < count; row++)
      lines.push(
        `${(row / 1000).toFixed(3)},${(Math.min(row, 0.9 * count) * 0.05 + Math.sin(row * row)).toFixed(3)}\r\n`,
      );
    return utf8(lines.join(""));
  };
  const time = (bytes: Uint8Array) =>
    processorMs(() => {
      const read = readRecording(bytes, plain);
      expect(read.ok && read.value.reading.pulls.length).toBe(1);
    });
  const [small, large] = [rows(1e5), rows(1e6)];
  time(small);
  const tenth = Math.min(time(small), time(small));
  // Ten times the rows: ten times the processor's time if linear, a hundred if quadratic.
  expect(time(large)).toBeLessThan(40 * Math.max(tenth, 20));
});
