import { type LayoutHints, type Separator, separators } from "../layout.ts";
import { splitCells } from "../text/cells.ts";
import { isMissingWord, parseNumberText, passingAscii } from "../text/numbers.ts";
import { parseDateTime, parseTimeOfDay, type Stamp } from "../text/stamps.ts";
import { isMeasured, isUnitRow } from "./header-words.ts";
import type { HeadText } from "./read-head.ts";

export type CellKind = "number" | "stamp" | "missing" | "text";

/** How the rows of a file are written, and how well that fits. */
export type Dialect = {
  readonly separator: Separator;
  readonly decimal: "." | ",";
  readonly columns: number;
  /** The first row of data: index of its line. */
  readonly firstRow: number;
  /** Index of the header's line, and of the row of units below it. */
  readonly header?: number;
  readonly unitRow?: number;
  /** Share of cells that fit, 0 to 1. */
  readonly score: number;
};

/** Lines that are looked at to compare dialects. */
const mostCompared = 400;

/**
 * Tries every separator with every decimal mark on the lines and takes the one by which most cells become numbers, times
 * or missing values in rows of equal length. Nothing where no way of reading gives numbers.
 */
export function findDialect({ lines, text }: HeadText, hints: LayoutHints): Dialect | undefined {
  const quoted = text.includes('"');
  let best: Dialect | undefined;
  // Separators that stand in no line all cut the lines in the same way, of which the first stands for all.
  let isUncutTried = false;
  for (const separator of hints.separator === undefined ? separators : [hints.separator]) {
    const cuts =
      separator === "whitespace" ? text.includes(" ") || text.includes("\t") : text.includes(separator);
    if (!cuts && isUncutTried) continue;
    if (!cuts) isUncutTried = true;
    for (const decimal of hints.decimal === undefined ? ([".", ","] as const) : [hints.decimal]) {
      if (separator === "," && decimal === "," && !quoted) continue;
      const found = tryDialect(lines, separator, decimal);
      if (found === undefined) continue;
      if (best === undefined || beats(found, best, lines)) best = found;
    }
  }
  return best;
}

/** What a cell holds, read with a decimal mark. */
export function kindOf(cell: string, decimal: "." | ","): CellKind {
  if (!Number.isNaN(parseNumberText(cell, decimal))) return "number";
  if (isMissingWord(cell)) return "missing";
  return isStamp(cell) ? "stamp" : "text";
}

const scratch: Stamp = { day: 0, second: 0 };

const dateOrders = ["ymd", "dmy", "mdy"] as const;

/** How a date begins, whatever the order of its numbers; few cells of a head do, and the rest need no closer look. */
const beginsAsDate = /^\d{1,4}[-./ ](?:\d{1,4}|[a-z]{3})[-./ ]\d/i;

/** Whether a cell is a time of day or a date, in any order of its numbers. */
export function isStamp(cell: string): boolean {
  const first = cell.charCodeAt(0);
  if (!(first >= 48 && first <= 57) || cell.length > 40) return false;
  const hasColon = cell.includes(":");
  const isDated = beginsAsDate.test(cell);
  if (!hasColon && !isDated) return false;
  const bytes = passingAscii(cell);
  if (hasColon && parseTimeOfDay(bytes, 0, cell.length, scratch)) return true;
  return isDated && dateOrders.some((order) => parseDateTime(bytes, 0, cell.length, order, scratch));
}

type Split = {
  readonly index: number;
  readonly cells: readonly string[];
  readonly kinds: readonly CellKind[];
};

function tryDialect(lines: readonly string[], separator: Separator, decimal: "." | ","): Dialect | undefined {
  const cut: Pick<Split, "index" | "cells">[] = [];
  for (let index = 0; index < lines.length && cut.length < mostCompared; index++) {
    const cells = splitCells(lines[index] as string, separator);
    if (cells.some((cell) => cell !== "")) cut.push({ index, cells });
  }
  // Lines that are cut wrongly have no number; what else they hold need not be asked.
  const isNumber = (cell: string) => !Number.isNaN(parseNumberText(cell, decimal));
  if (!cut.some(({ cells }) => cells.some(isNumber))) return undefined;
  const rows = cut.map((row) => ({ ...row, kinds: row.cells.map((cell) => kindOf(cell, decimal)) }));
  const withNumbers = rows.filter((row) => row.kinds.some((kind) => kind === "number"));
  const columns = commonest(withNumbers.map((row) => row.cells.length));
  const regular = withNumbers.filter((row) => row.cells.length === columns);
  const numeric = Array.from({ length: columns }, (_, column) => {
    const kinds = regular.map((row) => row.kinds[column]);
    return (
      kinds.filter((kind) => kind === "number" || kind === "stamp").length >
      kinds.filter((kind) => kind === "text").length
    );
  });
  if (!numeric.includes(true)) return undefined;
  const isData = ({ cells, kinds }: Split) =>
    cells.length === columns &&
    kinds.some((kind, column) => numeric[column] && (kind === "number" || kind === "stamp")) &&
    kinds.every((kind, column) => !numeric[column] || kind !== "text");
  const first = rows.findIndex((row) => isData(row) && !isLonely(row, rows, isData));
  if (first < 0) return undefined;
  const body = rows.slice(first);
  // A column that is empty throughout says nothing for or against.
  const filled = numeric.map((_, column) => regular.some((row) => row.kinds[column] !== "missing"));
  const empty = filled.filter((isFilled) => !isFilled).length;
  const cellsInAll = body.reduce((sum, row) => sum + Math.max(row.cells.length, columns) - empty, 0);
  let fitting = 0;
  for (const row of body) {
    if (row.cells.length !== columns) continue;
    row.kinds.forEach((kind, column) => {
      if (filled[column]) fitting += kind === "text" ? 0 : kind === "missing" ? 0.5 : 1;
    });
  }
  const above = headings(rows.slice(0, first), columns, separator);
  return {
    separator,
    decimal,
    columns,
    firstRow: (rows[first] as Split).index,
    ...above,
    score: fitting / cellsInAll,
  };
}

/** A line of numbers in a preamble ("Channels;2") is followed by other things than data. */
function isLonely(row: Split, rows: readonly Split[], isData: (row: Split) => boolean): boolean {
  const at = rows.indexOf(row);
  const next = rows.slice(at + 1, at + 6);
  return next.length > 0 && next.filter(isData).length < next.length / 2;
}

function headings(
  above: readonly Split[],
  columns: number,
  separator: Separator,
): { header?: number; unitRow?: number } {
  const last = above.at(-1);
  const before = above.at(-2);
  const isHeader = (row: Split | undefined): row is Split =>
    row !== undefined &&
    row.cells.length >= Math.max(1, Math.min(columns, 2)) &&
    row.cells.length >= columns / 2 &&
    row.kinds.some((kind) => kind === "text") &&
    // Any sentence has blanks between its words; a heading names something that is measured.
    (separator !== "whitespace" || row.cells.some(isMeasured));
  if (last === undefined) return {};
  if (isUnitRow(last.cells) && isHeader(before) && last.cells.length >= columns / 2)
    return { header: before.index, unitRow: last.index };
  return isHeader(last) ? { header: last.index } : {};
}

/** The better fit; of two that fit alike the one whose header has as many cells, then the earlier in the list. */
function beats(a: Dialect, b: Dialect, lines: readonly string[]): boolean {
  if (Math.abs(a.score - b.score) > 0.02) return a.score > b.score;
  const headerFits = ({ header, separator, columns }: Dialect) =>
    header !== undefined && splitCells(lines[header] as string, separator).length === columns;
  if (headerFits(a) !== headerFits(b)) return headerFits(a);
  // "12,05" has no second column: a whole number does not begin with 0.
  if (b.separator === "," && b.decimal === "." && a.decimal === "," && hasLeadingZeros(b, lines)) return true;
  return false;
}

/** Whether some column holds whole numbers that begin with a 0, as the digits behind a decimal comma do. */
export function hasLeadingZeros(dialect: Dialect, lines: readonly string[]): boolean {
  let zeros = 0;
  let rows = 0;
  for (const line of lines.slice(dialect.firstRow, dialect.firstRow + mostCompared)) {
    const cells = splitCells(line, dialect.separator);
    if (cells.length < 2) continue;
    rows++;
    if (cells.slice(1).some((cell) => /^0\d+$/.test(cell))) zeros++;
  }
  return zeros > rows / 50;
}

function commonest(counts: readonly number[]): number {
  const seen = new Map<number, number>();
  for (const count of counts) seen.set(count, (seen.get(count) ?? 0) + 1);
  return [...seen].reduce((best, entry) => (entry[1] > best[1] ? entry : best), [1, 0])[0];
}
