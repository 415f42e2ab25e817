import type { Layout } from "../layout.ts";
import { maxLineBytes } from "../limits.ts";
import { createKernelRows } from "./kernel-rows.ts";
import { decimalsOf, exactTens, parseNumber } from "./numbers.ts";
import type { WantedColumn } from "./wanted-column.ts";

/** Reads plain rows: those in which every wanted cell holds a number and nothing else. */
export type PlainRows = {
  /**
   * Reads rows from `from`, the start of a line, as long as they are plain. The byte before `end` is a line end, and a
   * byte lies behind it where that is a CR.
   * @returns where the first line begins that was not read.
   */
  read(bytes: Uint8Array, from: number, end: number): number;
  /** Fewest and most decimals that a force was written with. */
  readonly fewestDecimals: number;
  readonly mostDecimals: number;
};

const tab = 9;
const lineFeed = 10;
const carriageReturn = 13;
const blank = 32;
const quote = 34;
const zero = 48;
const plus = 43 - zero;
const minus = 45 - zero;

/** Rows for which room is made at a time. */
const rowsAtOnce = 4096;
/** So many digits fit into a small integer, which counts up twice as quickly as a double. */
const mostDigits = 9;

/**
 * The fast path of `parseRecording`: one look at each byte, no line cut out first and no cell bounded. A row that is
 * anything but plain, be it by a quote, an empty cell, a missing value or another count of cells, is left to the general
 * reader, which reads all rows alike and is this one's twin in the tests. Nothing where the layout itself is not plain.
 *
 * What it buys: 10,000,000 rows of time and force in a seventh of the general reader's time (docs/performance.md).
 */
export function createPlainRows(
  layout: Layout,
  wanted: readonly WantedColumn[],
  { byKernel = true }: { readonly byKernel?: boolean | undefined } = {},
): PlainRows | undefined {
  const count = layout.columnNames.length;
  const columns = wanted.toSorted((a, b) => a.column - b.column);
  const [first, second, third] = columns;
  const last = columns.at(-1)?.column ?? 0;
  const skips = columns.map(({ column }, at) => column - (columns[at - 1]?.column ?? 0) - 1);
  // A layout may name a column twice, or one that its rows do not have; it may not be plain in other ways.
  if (first === undefined || last > count || skips.some((skip) => skip < 0)) return undefined;
  if (
    layout.segment !== undefined ||
    layout.separator === "whitespace" ||
    layout.separator === layout.decimal
  )
    return undefined;
  const separator = layout.separator.charCodeAt(0);
  const decimal = layout.decimal.charCodeAt(0);
  const forceAt = columns.findIndex(({ column }) => column === layout.force.column);
  /** The column whose cells are dates or times of day: it has no plain numbers. */
  const stampAt = columns.findIndex(
    ({ scale }) => typeof scale !== "number" && scale.toSeconds === undefined,
  );
  /** Rows that are not offered to the kernel, since it could not read one of late. */
  let pause = 0;
  let fewestDecimals = Number.POSITIVE_INFINITY;
  let mostDecimals = 0;
  let rows = 0;

  /** Where the cell ends; −1 where it is quoted. */
  const endOfCell = (bytes: Uint8Array, from: number): number => {
    for (let at = from; ; at++) {
      const byte = bytes[at];
      if (byte === separator || byte === lineFeed || byte === carriageReturn) return at;
      if (byte === quote) return -1;
    }
  };

  /** A cell that is no short plain number; returns where it ends, or −1 where it is no number at all. */
  const readOther = (bytes: Uint8Array, from: number, into: Float64Array, row: number): number => {
    const end = endOfCell(bytes, from);
    if (end < 0) return end;
    const value = parseNumber(bytes, firstFilled(bytes, from, end), lastFilled(bytes, from, end), decimal);
    into[row] = value;
    return Number.isNaN(value) ? -1 : end;
  };

  /** A date or time of day, which is read when the rest of its row is: the first and the last one are remembered. */
  const readStamp = (bytes: Uint8Array, from: number, row: number): boolean => {
    const column = columns[stampAt];
    if (column === undefined || typeof column.scale === "number") return true;
    const end = endOfCell(bytes, from);
    const value = column.scale.read(bytes, firstFilled(bytes, from, end), lastFilled(bytes, from, end));
    column.values.room(0)[row] = value;
    return !Number.isNaN(value);
  };

  /**
   * Reads rows into the columns' room from row `from` to before `to`, as far as they are plain, and leaves in `rows` how
   * far. The cells are written out one by one: each place in a row then has its own history in the processor's guesses
   * of what comes next, by which it is a third faster than in a loop.
   */
  const readSome = (bytes: Uint8Array, from: number, end: number, fromRow: number, toRow: number): number => {
    const a = first.values.room(rowsAtOnce);
    const b = second?.values.room(rowsAtOnce) ?? a;
    const c = third?.values.room(rowsAtOnce) ?? a;
    const cells = columns.length;
    const [skipA = 0, skipB = 0, skipC = 0] = skips;
    // What is looked at for each row is held in variables of this function, which are registers.
    const [stampIn, forceIn, lastWanted, wantedCount] = [stampAt, forceAt, last, count];
    const [between, markByte] = [separator, decimal];
    const mark = decimal - zero;
    let usual = -1;
    let row = fromRow;
    let start = from;
    for (; row < toRow && start < end; row++) {
      let at = skipA === 0 ? start : skipCells(bytes, start, skipA, between);
      if (at < 0) break;
      let forceFrom = at;
      let stampFrom = at;
      let forceTo = stampIn === 0 ? -1 : readNumber(bytes, at, mark, between, a, row);
      if (forceTo < 0) {
        if (forceIn === 0) usual = -1;
        forceTo = stampIn === 0 ? endOfCell(bytes, at) : readOther(bytes, at, a, row);
      }
      if (forceTo < 0) break;
      at = forceTo;
      if (cells > 1 && second !== undefined) {
        if (bytes[at++] !== between) break;
        if (skipB > 0) at = skipCells(bytes, at, skipB, between);
        if (at < 0) break;
        const cellFrom = at;
        at = stampIn === 1 ? -1 : readNumber(bytes, at, mark, between, b, row);
        if (at < 0) {
          if (forceIn === 1) usual = -1;
          if (stampIn === 1) stampFrom = cellFrom;
          at = stampIn === 1 ? endOfCell(bytes, cellFrom) : readOther(bytes, cellFrom, b, row);
        }
        if (at < 0) break;
        if (forceIn === 1) {
          forceFrom = cellFrom;
          forceTo = at;
        }
      }
      if (cells > 2 && third !== undefined) {
        if (bytes[at++] !== between) break;
        if (skipC > 0) at = skipCells(bytes, at, skipC, between);
        if (at < 0) break;
        const cellFrom = at;
        at = stampIn === 2 ? -1 : readNumber(bytes, at, mark, between, c, row);
        if (at < 0) {
          if (forceIn === 2) usual = -1;
          if (stampIn === 2) stampFrom = cellFrom;
          at = stampIn === 2 ? endOfCell(bytes, cellFrom) : readOther(bytes, cellFrom, c, row);
        }
        if (at < 0) break;
        if (forceIn === 2) {
          forceFrom = cellFrom;
          forceTo = at;
        }
      }
      // What stands behind the last wanted cell is only counted.
      let seen = lastWanted;
      let byte = bytes[at] as number;
      for (; byte !== lineFeed && byte !== carriageReturn && byte !== quote; byte = bytes[++at] as number)
        if (byte === between) seen++;
      if (byte === quote || seen !== wantedCount || at - start > maxLineBytes) break;
      if (stampIn >= 0 && !readStamp(bytes, stampFrom, row)) break;
      // Nearly all forces have as many decimals as the one before: then the mark stands in the same place.
      if (usual < 0 || bytes[forceTo - usual - 1] !== markByte) {
        usual = decimalsOf(bytes, forceFrom, forceTo, decimal);
        if (usual < fewestDecimals) fewestDecimals = usual;
        if (usual > mostDecimals) mostDecimals = usual;
      }
      start = at + 1;
      if (byte === carriageReturn && bytes[start] === lineFeed) start++;
    }
    rows = row;
    return start;
  };

  /** So many rows were written into the columns' rooms. */
  const take = (count: number) => {
    for (const { values, scale } of columns) {
      const from = values.length;
      scaleRows(values.room(0), from, from + count, scale);
      values.grow(count);
    }
  };

  const kernel =
    byKernel && stampAt < 0
      ? createKernelRows({ separator, decimal, cells: count, columns, forceAt }, take)
      : undefined;

  return {
    read(bytes, from, end) {
      let at = from;
      for (;;) {
        if (kernel !== undefined && pause === 0) {
          at = kernel.read(bytes, at, end);
          if (at >= end) return at;
          pause = kernel.pause;
        }
        const before = first.values.length;
        const wantedRows = kernel === undefined ? rowsAtOnce : Math.min(pause, rowsAtOnce);
        at = readSome(bytes, at, end, before, before + wantedRows);
        const read = rows - before;
        take(read);
        if (read < wantedRows) return at;
        pause -= read;
      }
    },
    get fewestDecimals() {
      return Math.min(fewestDecimals, kernel?.fewestDecimals ?? fewestDecimals);
    },
    get mostDecimals() {
      return Math.max(mostDecimals, kernel?.mostDecimals ?? mostDecimals);
    },
  };
}

/**
 * Reads a short plain number into a row of a column: blanks, a sign, up to nine digits with at most one decimal mark.
 * @returns where the cell ends, or −1 where it holds something else.
 */
function readNumber(
  bytes: Uint8Array,
  from: number,
  mark: number,
  separator: number,
  into: Float64Array,
  row: number,
): number {
  let at = from;
  while (bytes[at] === blank) at++;
  let digit = (bytes[at] as number) - zero;
  const negative = digit === minus;
  if (negative || digit === plus) digit = (bytes[++at] as number) - zero;
  let digitsFrom = at;
  let whole = 0;
  while (digit >>> 0 < 10) {
    whole = (Math.imul(whole, 10) + digit) | 0;
    digit = (bytes[++at] as number) - zero;
  }
  let digits = at - digitsFrom;
  let decimals = 0;
  if (digit === mark) {
    digitsFrom = ++at;
    digit = (bytes[at] as number) - zero;
    while (digit >>> 0 < 10) {
      whole = (Math.imul(whole, 10) + digit) | 0;
      digit = (bytes[++at] as number) - zero;
    }
    decimals = at - digitsFrom;
    digits += decimals;
  }
  if (digits === 0 || digits > mostDigits) return -1;
  const after = digit + zero;
  if (after !== separator && after !== lineFeed && after !== carriageReturn) return -1;
  const value = whole / (exactTens[decimals] as number);
  into[row] = negative ? -value : value;
  return at;
}

/** Where the cell begins that so many cells stand before; −1 where the row ends first, or one of them is quoted. */
function skipCells(bytes: Uint8Array, from: number, cells: number, separator: number): number {
  let at = from;
  for (let left = cells; left > 0; at++) {
    const byte = bytes[at] as number;
    if (byte === separator) left--;
    else if (byte === quote || byte === lineFeed || byte === carriageReturn) return -1;
  }
  return at;
}

/** Turns what cells state into newtons, seconds and metres, where it lies. */
export function scaleRows(
  values: Float64Array,
  from: number,
  to: number,
  scale: WantedColumn["scale"],
): void {
  if (typeof scale !== "number") scale.toSeconds?.(values, from, to);
  else if (scale !== 1) for (let row = from; row < to; row++) values[row] = (values[row] as number) * scale;
}

function firstFilled(bytes: Uint8Array, from: number, to: number): number {
  let at = from;
  while (at < to && isBlank(bytes[at])) at++;
  return at;
}

function lastFilled(bytes: Uint8Array, from: number, to: number): number {
  let at = to;
  while (at > from && isBlank(bytes[at - 1])) at--;
  return at;
}

function isBlank(byte: number | undefined): boolean {
  return byte === blank || byte === tab;
}
