import type { Layout } from "../layout.ts";
import { exactTens } from "./numbers.ts";

/** Rows whose digits were put together into numbers before, as a book keeps them. */
export type NumberRows = {
  readonly rows: number;
  /** The shapes that rows may have, and which of them each has. */
  readonly shapes: readonly RowShape[];
  readonly ids: Uint8Array;
  /** For each number of a row that of all rows: its digits without a mark, with a sign that stands right before them. */
  readonly columns: readonly Float64Array[];
};

/** What all rows of one form have in common. */
export type RowShape = {
  /** A row to its LF, with 0 for each digit. */
  readonly text: Uint8Array;
  /** The byte that joins the digits on its either side into one number, once in each. */
  readonly mark: number;
};

/** Which number of a row a wanted cell holds, and what it states by its digits. */
export type NumberCell = {
  readonly number: number;
  readonly decimals: number;
  readonly divisor: number;
  /** A zero with this cell's sign. */
  readonly zero: number;
};

const tab = 9;
const lineFeed = 10;
const carriageReturn = 13;
const blank = 32;
const quote = 34;
const plus = 43;
const minus = 45;
const digit = 48;

/** Whether rows that come as numbers can be read by this layout: its wanted cells hold numbers, and separators part them. */
export function isReadByNumbers({ encoding, separator, decimal, time, segment }: Layout): boolean {
  const isStamped = time.kind === "column" && (time.format === "date-time" || time.format === "time-of-day");
  return (
    !encoding.startsWith("utf-16") &&
    separator !== "whitespace" &&
    separator !== decimal &&
    segment === undefined &&
    !isStamped
  );
}

/**
 * Where the numbers of wanted cells are in rows of a shape; nothing where such a row has another count of cells, a quote,
 * or anything in a wanted cell but blanks, a sign and digits with at most one decimal mark among them: then its text is
 * read.
 *
 * @param wanted the columns, from 1.
 */
export function numberCells(
  { text, mark }: RowShape,
  { separator, decimal, columnNames }: Layout,
  wanted: readonly number[],
): readonly NumberCell[] | undefined {
  const [between, point] = [separator.charCodeAt(0), decimal.charCodeAt(0)];
  // The digits of a cell are those of a number only where both are joined by the same mark, or by none.
  if (mark !== point && (text.includes(mark) || text.includes(point))) return undefined;
  const end = text.at(-2) === carriageReturn ? text.length - 2 : text.length - 1;
  const cells: (NumberCell | undefined)[] = [];
  let number = 0;
  let from = 0;
  for (let at = 0; at <= end; at++) {
    const byte = text[at] as number;
    if (at < end && (byte === quote || byte === carriageReturn || byte === lineFeed)) return undefined;
    if (at < end && byte !== between) continue;
    const cell = readCell(text, from, at, point, number);
    cells.push(cell.isPlain ? cell : undefined);
    number += cell.numbers;
    from = at + 1;
  }
  if (cells.length !== columnNames.length) return undefined;
  const found = wanted.map((column) => cells[column - 1]);
  return found.every((cell) => cell !== undefined) ? found : undefined;
}

/** A cell from `from` to before `to`, whose first digits are those of the row's number `number`. */
function readCell(text: Uint8Array, from: number, to: number, point: number, number: number) {
  let numbers = 0;
  let decimals = 0;
  for (let at = from; at < to; ) {
    if (text[at] !== digit) {
      at++;
      continue;
    }
    numbers++;
    while (text[at] === digit) at++;
    if (text[at] !== point || text[at + 1] !== digit) continue;
    const mark = at++;
    while (text[at] === digit) at++;
    decimals = at - mark - 1;
  }
  let first = from;
  while (first < to && isBlank(text[first])) first++;
  let behind = to;
  while (behind > first && isBlank(text[behind - 1])) behind--;
  const isNegative = text[first] === minus;
  if (isNegative || text[first] === plus) first++;
  const rest = text.subarray(first, behind);
  const isPlain =
    numbers === 1 &&
    rest[0] === digit &&
    rest.at(-1) === digit &&
    rest.every((byte) => byte === digit || byte === point);
  const divisor = exactTens[decimals] as number;
  return { isPlain, numbers, number, decimals, divisor, zero: isNegative ? -0 : 0 };
}

function isBlank(byte: number | undefined): boolean {
  return byte === blank || byte === tab;
}

/** Writes what the cells of one column state to `into`, from row `at` on; `cellOf` gives the cell of each shape that rows have. */
export function stateNumbers(
  { rows, ids, columns }: NumberRows,
  cells: readonly (NumberCell | undefined)[],
  into: Float64Array,
  at: number,
): void {
  const [first, ...others] = cells.filter((cell) => cell !== undefined);
  if (first === undefined) return;
  const { number, divisor } = first;
  if (others.every((cell) => cell.number === number && cell.divisor === divisor)) {
    const values = columns[number] as Float64Array;
    for (let row = 0; row < rows; row++) {
      const value = values[row] as number;
      // What was kept of −0 is its sign, in the shape.
      into[at + row] = value === 0 ? (cells[ids[row] as number] as NumberCell).zero : value / divisor;
    }
    return;
  }
  for (let row = 0; row < rows; row++) {
    const cell = cells[ids[row] as number] as NumberCell;
    const value = (columns[cell.number] as Float64Array)[row] as number;
    into[at + row] = value === 0 ? cell.zero : value / cell.divisor;
  }
}
