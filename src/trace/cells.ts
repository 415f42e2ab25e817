import type { Separator } from "./layout.ts";

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
    if (bytes[at] === quote && at < to) {
      start = ++at;
      while (at < to && (bytes[at] !== quote || (at + 1 < to && bytes[at + 1] === quote)))
        at += bytes[at] === quote ? 2 : 1;
      end = Math.min(at, to);
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
  const mark = separator === "whitespace" ? undefined : separator;
  const cells: string[] = [];
  let at = 0;
  const ends = (character: string | undefined) =>
    mark === undefined ? character === " " || character === "\t" : character === mark;
  for (;;) {
    while (at < line.length && (line[at] === " " || line[at] === "\t") && line[at] !== mark) at++;
    if (mark === undefined && at >= line.length) break;
    let cell = "";
    if (line[at] === '"') {
      at++;
      while (at < line.length && (line[at] !== '"' || line[at + 1] === '"')) {
        if (line[at] === '"') at++;
        cell += line[at++] ?? "";
      }
      while (at < line.length && !ends(line[at])) at++;
    } else while (at < line.length && !ends(line[at])) cell += line[at++];
    cells.push(cell.trim());
    if (at >= line.length) break;
    at++;
  }
  return cells;
}

function isBlank(byte: number): boolean {
  return byte === blank || byte === tab;
}
