import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import type { Layout } from "../layout.ts";
import { maxRecordingBytes } from "../limits.ts";
import type { Trace } from "../reading.ts";
import { upsideDown } from "../samples/sign.ts";
import { createCellBounds, findCells, separatorByte } from "./cells.ts";
import { checkForce, checkTime } from "./check-columns.ts";
import { createColumns } from "./columns.ts";
import { createUtf16Reader } from "./encoding.ts";
import { type ColumnMemory, createGrowingColumn } from "./growing.ts";
import { createLineCutter } from "./lines.ts";
import {
  isReadByNumbers,
  type NumberCell,
  type NumberRows,
  numberCells,
  type RowShape,
  stateNumbers,
} from "./number-rows.ts";
import { decimalsOf, isMissingWord, parseNumber } from "./numbers.ts";
import type { PlainPart } from "./plain-part.ts";
import { createPlainRows, scaleRows } from "./plain-rows.ts";
import { createRowProblems, plainText } from "./row-problems.ts";
import { createTimeCells } from "./time-cells.ts";

/** What a file held: the samples that could be read, and what could not. */
export type ParsedRecording = {
  readonly trace: Trace;
  /** Rows that could not be read, the first twenty of them. With any, the recording should not be taken in. */
  readonly problems: readonly Problem[];
  readonly problemCount: number;
};

export type ParseOptions = {
  /** Called after each piece of bytes; returning false stops. */
  readonly onProgress?: (bytesRead: number, rows: number) => unknown;
  readonly maxBytes?: number;
  /** The size of the whole, where it is known: room for its rows is then made at once. */
  readonly sizeBytes?: number;
  /** False reads every row by the general reader: slower, with the same answer. */
  readonly plainRows?: boolean;
  /** False reads plain rows byte by byte: slower, with the same answer. */
  readonly byKernel?: boolean;
  /** Where the columns begin to grow, in the order of `PlainPart.columns`. */
  readonly memory?: readonly ColumnMemory[];
};

/** Reads a recording that comes in pieces. */
export type RecordingParser = {
  /** False once nothing more is wanted, because of a limit: `finish` says why. */
  push(chunk: Uint8Array): boolean;
  /**
   * Takes rows that were read elsewhere and come next, where what was pushed ends with a line end. False where they
   * cannot be taken; then their bytes are to be pushed.
   */
  append(part: PlainPart): boolean;
  /**
   * Takes rows that come next as the numbers that their text was packed to, with the same answer as their text would give.
   * False where they cannot be taken; then their text is to be pushed.
   */
  pushNumbers(rows: NumberRows): boolean;
  finish(): Result<ParsedRecording>;
};

/** Bytes that are looked at between two calls of `onProgress`. */
const progressStep = 4 * 1024 * 1024;

/**
 * Reads a recording's bytes into columns of numbers by a layout: force in newtons, time in seconds as the file counts
 * them, displacement in metres.
 *
 * @param bytes the whole file, or its pieces in order.
 * @returns the samples, and every row that could not be read with line, column, what was found and the way out (the
 * first 20 and their count). Missing cells are NaN. A last row that was cut short is left out with a warning.
 *
 * @example
 * const parsed = parseRecording(bytes, layout);
 * if (parsed.ok) parsed.value.trace.forceN.length;
 */
export function parseRecording(
  bytes: Uint8Array | Iterable<Uint8Array>,
  layout: Layout,
  options: ParseOptions = {},
): Result<ParsedRecording> {
  const chunks = bytes instanceof Uint8Array ? [bytes] : bytes;
  const sizeBytes = Array.isArray(chunks) ? sizeOf(chunks) : undefined;
  const parser = createRecordingParser(layout, {
    ...(sizeBytes === undefined ? {} : { sizeBytes }),
    ...options,
  });
  for (const chunk of chunks) {
    for (let from = 0; from < chunk.length; from += progressStep)
      if (!parser.push(chunk.subarray(from, from + progressStep))) return parser.finish();
  }
  return parser.finish();
}

/** The same for bytes that come in pieces, as from a stream: `push` them in order, then `finish`. */
export function createRecordingParser(layout: Layout, options: ParseOptions = {}): RecordingParser {
  const limit = options.maxBytes ?? maxRecordingBytes;
  const toBytes =
    layout.encoding === "utf-16le" || layout.encoding === "utf-16be"
      ? createUtf16Reader(layout.encoding)
      : undefined;
  const rows = createRowReader(layout, options);
  const lines = createLineCutter(rows.readLine, options.plainRows === false ? undefined : rows.readAhead);
  const sizeBytes = Math.min(options.sizeBytes ?? 0, limit);
  let bytesRead = 0;
  let stopped: Problem | undefined;
  return {
    push(chunk) {
      if (stopped !== undefined) return false;
      bytesRead += chunk.length;
      if (bytesRead > limit) stopped = tooLarge(limit);
      else if (!lines.push(toBytes === undefined ? chunk : toBytes(chunk)) && lines.tooLong)
        stopped = lineTooLong(rows.linesRead() + 1);
      else if (options.onProgress?.(bytesRead, rows.rowsRead()) === false) stopped = stoppedByUser;
      if (bytesRead === chunk.length && bytesRead < sizeBytes) rows.expect(sizeBytes / bytesRead);
      return stopped === undefined;
    },
    append(part) {
      if (stopped !== undefined || lines.isAmidLine || !rows.append(part)) return false;
      bytesRead += part.bytes;
      if (bytesRead > limit) stopped = tooLarge(limit);
      return true;
    },
    pushNumbers(next) {
      const bytes = stopped !== undefined || lines.isAmidLine ? 0 : rows.pushNumbers(next);
      bytesRead += bytes;
      if (bytesRead > limit) stopped = tooLarge(limit);
      return bytes > 0;
    },
    finish() {
      if (stopped === undefined) lines.finish();
      if (stopped === undefined && lines.tooLong) stopped = lineTooLong(rows.linesRead() + 1);
      if (stopped !== undefined) return refuse(stopped);
      if (bytesRead === 0) return refuse(empty);
      return rows.finish();
    },
  };
}

function sizeOf(chunks: readonly Uint8Array[]): number {
  return chunks.reduce((sum, { length }) => sum + length, 0);
}

/** The refusal of a file that is over the limit, which can be known before a byte of it is read. */
export function tooLarge(limit: number, found?: number): Problem {
  return {
    code: "TRACE_TOO_LARGE",
    message: "The file is larger than a recording may be.",
    ...(found === undefined ? {} : { found: `${found} bytes` }),
    expected: `at most ${Math.floor(limit / 1024 / 1024)} MiB`,
    wayOut: "Split the file at a rest, or export fewer columns or a lower rate.",
  };
}

export const empty: Problem = {
  code: "TRACE_EMPTY",
  message: "The file is empty.",
  expected: "rows of numbers as a logger writes them",
  wayOut: "Export the recording again; the logger may not have closed the file.",
};

const stoppedByUser: Problem = {
  code: "TRACE_STOPPED",
  message: "Reading was stopped before the end of the file.",
};

function lineTooLong(line: number): Problem {
  return {
    code: "TRACE_LINE_LENGTH",
    message: "A line is longer than any row of a recording.",
    where: { line },
    expected: "rows closed by a line end",
  };
}

/** Reads one line after the other into the columns that the layout names. */
function createRowReader(layout: Layout, { byKernel, memory = [] }: ParseOptions) {
  const decimal = layout.decimal.charCodeAt(0);
  const separator = separatorByte(layout.separator);
  const timeColumn = layout.time.kind === "column" ? layout.time.column : 0;
  const timeCells = layout.time.kind === "column" ? createTimeCells(layout.time, decimal) : undefined;
  const displacementColumn = layout.displacement?.column ?? 0;
  const segmentColumn = layout.segment?.column ?? 0;
  const widest = Math.max(
    layout.force.column,
    timeColumn,
    displacementColumn,
    segmentColumn,
    layout.columnNames.length,
  );
  const cells = createCellBounds(widest);
  const { starts, ends } = cells;
  const { force, time, displacement, wanted, factor, metres } = createColumns(layout, timeCells, memory);
  const segments = createGrowingColumn();
  const problems = createRowProblems(layout);
  let line = 0;
  let headings = (layout.headerRow ? 1 : 0) + (layout.unitRow ? 1 : 0);
  let missing = 0;
  let segment = 0;
  let segmentText = "";
  let fewestDecimals = Number.POSITIVE_INFINITY;
  let mostDecimals = 0;

  const columns = [force, time, displacement, segments];
  const plain = createPlainRows(layout, wanted, { byKernel });

  /** Plain rows, once the head of the file is behind. */
  const readPlain = (bytes: Uint8Array, from: number, end: number): number => {
    if (plain === undefined || headings > 0 || line < layout.preambleLines) return from;
    const before = force.length;
    const at = plain.read(bytes, from, end);
    const read = force.length - before;
    line += read;
    if (read > 0) problems.rowRead();
    return at;
  };

  const readLine = (bytes: Uint8Array, lineFrom: number, to: number, closed: boolean): boolean => {
    line++;
    // A byte order mark, here or where two files were put together.
    const from =
      bytes[lineFrom] === 0xef && bytes[lineFrom + 1] === 0xbb && bytes[lineFrom + 2] === 0xbf
        ? lineFrom + 3
        : lineFrom;
    if (line <= layout.preambleLines) return true;
    findCells(bytes, from, to, separator, cells);
    if (isBlankRow(bytes, from, to, separator)) return true;
    if (headings > 0) {
      headings--;
      return true;
    }
    const kept = Math.min(cells.count, widest);
    for (let cell = kept; cell < widest; cell++) starts[cell] = ends[cell] = to;
    const row = { bytes, from, to, line, closed, cells };

    const at = layout.force.column - 1;
    const start = starts[at] as number;
    const end = ends[at] as number;
    let value = parseNumber(bytes, start, end, decimal);
    const isNumber = !Number.isNaN(value);
    if (!closed && isCut(row, isNumber)) {
      problems.cut(row);
      return true;
    }
    if (!isNumber && !isMissingWord(plainText(bytes, start, end))) {
      problems.notANumber(row, at);
      return true;
    }
    let seconds = 0;
    if (timeCells !== undefined) {
      seconds = timeCells.read(bytes, starts[timeColumn - 1] as number, ends[timeColumn - 1] as number);
      if (Number.isNaN(seconds)) {
        problems.noTime(row, timeColumn - 1, timeCells.expected, isNumber);
        return true;
      }
    }
    if (cells.count !== layout.columnNames.length) problems.otherCount(row);
    problems.rowRead();
    if (isNumber) {
      const decimals = decimalsOf(bytes, start, end, decimal);
      if (decimals < fewestDecimals) fewestDecimals = decimals;
      if (decimals > mostDecimals) mostDecimals = decimals;
    } else {
      missing++;
      value = Number.NaN;
    }
    force.push(value * factor);
    if (timeCells !== undefined) time.push(seconds);
    if (displacementColumn > 0)
      displacement.push(
        parseNumber(
          bytes,
          starts[displacementColumn - 1] as number,
          ends[displacementColumn - 1] as number,
          decimal,
        ) * metres,
      );
    if (segmentColumn > 0) {
      const text = plainText(bytes, starts[segmentColumn - 1] as number, ends[segmentColumn - 1] as number);
      if (text !== "" && text !== segmentText) {
        if (segmentText !== "" || segment === 0) segment++;
        segmentText = text;
      }
      segments.push(segment);
    }
    return true;
  };

  const append = (part: PlainPart): boolean => {
    if (plain === undefined || headings > 0 || line < layout.preambleLines) return false;
    for (const [at, { values }] of wanted.entries()) values.append(part.columns[at] as Float64Array);
    const count = (part.columns[0] as Float64Array).length;
    line += count;
    if (count > 0) problems.rowRead();
    fewestDecimals = Math.min(fewestDecimals, part.fewestDecimals);
    mostDecimals = Math.max(mostDecimals, part.mostDecimals);
    return true;
  };

  const byNumbers = plain !== undefined && isReadByNumbers(layout);
  const cellsOfShapes = new Map<RowShape, readonly NumberCell[] | undefined>();
  const cellsOf = (shape: RowShape): readonly NumberCell[] | undefined => {
    if (!cellsOfShapes.has(shape))
      cellsOfShapes.set(
        shape,
        numberCells(
          shape,
          layout,
          wanted.map(({ column }) => column),
        ),
      );
    return cellsOfShapes.get(shape);
  };

  /** How many bytes of text the rows stand for; 0 where they are not taken. */
  const pushNumbers = (next: NumberRows): number => {
    if (!byNumbers || headings > 0 || line < layout.preambleLines) return 0;
    const rowsOf = new Uint32Array(next.shapes.length);
    for (let row = 0; row < next.rows; row++) (rowsOf[next.ids[row] as number] as number)++;
    let bytes = 0;
    // By shape; of one that no row has nothing is asked.
    const cells: (readonly NumberCell[] | undefined)[] = [];
    for (const [id, shape] of next.shapes.entries()) {
      if (rowsOf[id] === 0) continue;
      cells[id] = cellsOf(shape);
      if (cells[id] === undefined) return 0;
      bytes += (rowsOf[id] as number) * shape.text.length;
    }
    for (const [at, { values, scale }] of wanted.entries()) {
      const from = values.length;
      const into = values.room(next.rows);
      const ofColumn = Array.from(cells, (of) => of?.[at]);
      stateNumbers(next, ofColumn, into, from);
      scaleRows(into, from, from + next.rows, scale);
      values.grow(next.rows);
    }
    line += next.rows;
    problems.rowRead();
    for (const of of cells) {
      // The force is the first that is wanted.
      const [force] = of ?? [];
      if (force === undefined) continue;
      fewestDecimals = Math.min(fewestDecimals, force.decimals);
      mostDecimals = Math.max(mostDecimals, force.decimals);
    }
    return bytes;
  };

  const fewest = () => Math.min(fewestDecimals, plain?.fewestDecimals ?? fewestDecimals);
  const most = () => Math.max(mostDecimals, plain?.mostDecimals ?? 0);

  /** All forces so far have the same number of decimals, so that one with fewer has lost some. */
  const isFixed = () => fewest() === most() && force.length >= 10;

  /** A last line without a line end is cut where cells or digits are wanting that all rows before it have. */
  const isCut = (row: { bytes: Uint8Array; to: number }, isNumber: boolean): boolean => {
    if (force.length === 0) return false;
    if (cells.count < layout.columnNames.length) return true;
    if (layout.force.column !== layout.columnNames.length) return false;
    const at = layout.force.column - 1;
    if (!isNumber) {
      const text = plainText(row.bytes, starts[at] as number, ends[at] as number);
      return text === "" || !isMissingWord(text);
    }
    return isFixed() && decimalsOf(row.bytes, starts[at] as number, ends[at] as number, decimal) < most();
  };

  return {
    readLine,
    readAhead: plain === undefined ? undefined : readPlain,
    append,
    pushNumbers,
    /** The whole is so many times what was read: room is made for the rows to come, and a few more. */
    expect(times: number) {
      const rows = Math.ceil(force.length * times * 1.02);
      for (const column of columns) if (column.length > 0) column.expect(rows);
    },
    linesRead: () => line,
    rowsRead: () => force.length,
    finish(): Result<ParsedRecording> {
      const warnings: Warning[] = [];
      const found = problems.finish();
      warnings.push(...found.warnings);
      if (force.length === 0 && found.count === 0) return refuse(line === 0 ? empty : headerOnly);
      const forceN = force.take();
      const turned = layout.force.inverted === undefined && upsideDown(forceN) !== undefined;
      if (turned) for (let row = 0; row < forceN.length; row++) forceN[row] = -(forceN[row] as number);
      const timeS = timeCells !== undefined ? time.take() : ratedTime(layout, forceN.length);
      const listed: Problem[] = [...found.problems];
      const forceCheck = checkForce(forceN, timeS, layout, 10 ** -most() * Math.abs(factor));
      if (forceCheck !== undefined) listed.push(forceCheck);
      if (timeCells !== undefined && timeS !== undefined) {
        const timeCheck = checkTime(timeS, layout);
        warnings.push(...timeCheck.warnings);
        if (timeCheck.problem !== undefined) listed.push(timeCheck.problem);
      }
      const startedAt = timeCells?.startedAt();
      const trace: Trace = {
        forceN,
        ...(timeS === undefined ? {} : { timeS }),
        ...(displacementColumn > 0 ? { displacementM: displacement.take() } : {}),
        ...(segmentColumn > 0 ? { segment: Int32Array.from(segments.take()) } : {}),
        ...(startedAt === undefined ? {} : { startedAt }),
        missing,
        ...(turned ? { turned } : {}),
      };
      const extra = listed.length - found.problems.length;
      return ok({ trace, problems: listed, problemCount: found.count + extra }, warnings);
    },
  };
}

export const headerOnly: Problem = {
  code: "TRACE_HEADER_ONLY",
  message: "The file has a header and no rows below it.",
  expected: "rows of numbers below the header",
  wayOut: "Export the recording again; the logger may not have recorded anything.",
};

function ratedTime(layout: Layout, count: number): Float64Array<ArrayBuffer> | undefined {
  if (layout.time.kind !== "rate") return undefined;
  const { hz } = layout.time;
  const seconds = new Float64Array(count);
  for (let row = 0; row < count; row++) seconds[row] = row / hz;
  return seconds;
}

function isBlankRow(bytes: Uint8Array, from: number, to: number, separator: number): boolean {
  for (let at = from; at < to; at++) {
    const byte = bytes[at] as number;
    // Blanks, separators and the mark that ends a file on old systems.
    if (byte !== 32 && byte !== 9 && byte !== separator && byte !== 26) return false;
  }
  return true;
}
