import type { Separator } from "../layout.ts";

const quote = 34;
const blank = 32;
const tab = 9;

/**
 * Where the cells of a line lie. Bounds are trimmed of blanks and quotes; `count` is how many cells the line has, of
 * which the first `starts.length` are kept.
 */
export type CellBounds = {
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  count: number;
};

export function createCellBounds(most: number): CellBounds {
  return { starts: new Int32Array(most), ends: new Int32Array(most), count: 0 };
}

/**
 * Finds the cells of the line in bytes `from` to before `to`. A cell may stand in double quotes, and then hold the
 * separator; a doubled quote within stays doubled, for no number has one. Whitespace separates by any number of blanks
 * and tabs, of which those at the ends of the line count for nothing.
 */
export function findCells(
  bytes: Uint8Array,
  from: number,
  to: number,
  separator: number,
  cells: CellBounds,
): void {
  const { starts, ends } = cells;
  const byBlanks = separator === blank;
  const keep = starts.length;
  let count = 0;
  let at = from;
  for (;;) {
    while (at < to && isBlank(bytes[at] as number) && (byBlanks || bytes[at] !== separator)) at++;
    if (byBlanks && at >= to) break;
    let start = at;
    let end: number;
    const closing = bytes[at] === quote && at < to ? closingQuote(bytes, at, to, separator, byBlanks) : -1;
    if (closing >= 0) {
      start = at + 1;
      end = closing;
      at = closing + 1;
      while (at < to && !(byBlanks ? isBlank(bytes[at] as number) : bytes[at] === separator)) at++;
    } else {
      if (byBlanks) while (at < to && !isBlank(bytes[at] as number)) at++;
      else while (at < to && bytes[at] !== separator) at++;
      end = at;
    }
    if (count < keep) {
      while (end > start && isBlank(bytes[end - 1] as number)) end--;
      while (start < end && isBlank(bytes[start] as number)) start++;
      starts[count] = start;
      ends[count] = end;
    }
    count++;
    if (at >= to) break;
    at++;
  }
  cells.count = count;
}

/** A quoted cell is no longer than this; a quote that is never closed must not be sought to the end of every line. */
const longestQuoted = 1024;

/**
 * The quote that closes the one at `open`, or −1 where something other than a separator follows it, or none closes it:
 * then the quote is a character like others.
 */
function closingQuote(
  bytes: Uint8Array,
  open: number,
  to: number,
  separator: number,
  byBlanks: boolean,
): number {
  let at = open + 1;
  const last = Math.min(to, open + longestQuoted);
  while (at < last && (bytes[at] !== quote || bytes[at + 1] === quote)) at += bytes[at] === quote ? 2 : 1;
  if (at >= last) return -1;
  let after = at + 1;
  if (!byBlanks) while (after < to && isBlank(bytes[after] as number) && bytes[after] !== separator) after++;
  const ends = after >= to || (byBlanks ? isBlank(bytes[after] as number) : bytes[after] === separator);
  return ends ? at : -1;
}

/** The byte that `findCells` separates by. */
export function separatorByte(separator: Separator): number {
  return separator === "whitespace" ? blank : separator.charCodeAt(0);
}

const whitespace = /[ \t]+/;

/** The cells of a line of text by the same rules, doubled quotes made single: for the few lines that are looked at. */
export function splitCells(line: string, separator: Separator): string[] {
  if (!line.includes('"'))
    return separator === "whitespace"
      ? line.trim() === ""
        ? []
        : line.trim().split(whitespace)
      : line.split(separator).map((cell) => cell.trim());
  const quoted = quotedCells[separator];
  const cells: string[] = [];
  let at = 0;
  while (at <= line.length) {
    quoted.lastIndex = at;
    const found = quoted.exec(line);
    if (found === null) break;
    cells.push((found[1]?.replace(/""/g, '"') ?? found[2] ?? "").trim());
    at = quoted.lastIndex + (separator === "whitespace" ? 0 : 1);
  }
  return cells;
}

/** One cell at a time: a quoted one (group 1) that a separator or the end follows, or any other (group 2). */
const quotedCells: Readonly<Record<Separator, RegExp>> = {
  ",": /[ \t]*(?:"((?:[^"]|"")*)"[ \t]*(?=,|$)|([^,]*))/y,
  ";": /[ \t]*(?:"((?:[^"]|"")*)"[ \t]*(?=;|$)|([^;]*))/y,
  "|": /[ \t]*(?:"((?:[^"]|"")*)"[ \t]*(?=\||$)|([^|]*))/y,
  "\t": / *(?:"((?:[^"]|"")*)" *(?=\t|$)|([^\t]*))/y,
  whitespace: /[ \t]*(?:"((?:[^"]|"")*)"(?=[ \t]|$)|([^ \t]+))[ \t]*/y,
};

function isBlank(byte: number): boolean {
  return byte === blank || byte === tab;
}
