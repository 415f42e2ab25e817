import type { Problem, Warning } from "../../problem/mod.ts";
import type { Layout } from "../layout.ts";
import type { CellBounds } from "./cells.ts";
import { decodeText } from "./encoding.ts";
import { parseNumber, thousands, withUnit } from "./numbers.ts";

/** One line as it was found. */
type FoundRow = {
  readonly bytes: Uint8Array;
  readonly from: number;
  readonly to: number;
  readonly line: number;
  readonly closed: boolean;
  readonly cells: CellBounds;
};

const mostListed = 20;
const mostText = 120;

/** Collects what is wrong with rows, lists the first of each kind and counts the rest. */
export function createRowProblems(layout: Layout) {
  const problems: Problem[] = [];
  let count = 0;
  const warnings: Warning[] = [];
  const repeats = counter();
  const comments = counter();
  const short = counter();
  const long = counter();
  const timeless = counter();
  /** Lines of text since the last row that could be read: at the end of the file they are its closing words. */
  const held: Problem[] = [];
  let heldCount = 0;

  const nameOf = (cell: number) => layout.columnNames[cell] ?? `column ${cell + 1}`;
  const cellText = (row: FoundRow, cell: number) =>
    cell < row.cells.count
      ? decodeText(row.bytes.subarray(row.cells.starts[cell], row.cells.ends[cell]), textEncoding(layout))
      : "";
  const where = (row: FoundRow, cell: number) => ({
    line: row.line,
    column: nameOf(cell),
    text: shorten(
      decodeText(
        row.bytes.subarray(row.from, Math.min(row.to, row.from + 4 * mostText)),
        textEncoding(layout),
      ),
    ),
  });
  const list = (problem: Problem) => {
    if (problems.length < mostListed) problems.push(problem);
    count++;
  };

  /** A remark is no problem, words may turn out to be the file's end, anything else is a problem. */
  const setAside = (row: FoundRow, problem: Problem) => {
    const first = row.bytes[row.cells.starts[0] as number];
    if (first === 35 || first === 37) comments.add(row.line);
    else if (isWords(row, layout)) {
      if (held.length < mostListed) held.push(problem);
      heldCount++;
    } else list(problem);
  };

  return {
    /** The last line ends in the middle. */
    cut(row: FoundRow) {
      warnings.push({
        code: "TRACE_CUT",
        message: "The file ends in the middle of its last row, which was left out.",
        where: where(row, Math.max(0, row.cells.count - 1)),
      });
    },
    notANumber(row: FoundRow, cell: number) {
      const found = cellText(row, cell);
      if (found.trim() === layout.columnNames[cell] && layout.headerRow) {
        repeats.add(row.line);
        return;
      }
      setAside(row, {
        code: "TRACE_NUMBER",
        message: "A force cannot be read: this is not a number.",
        where: where(row, cell),
        found: shorten(found),
        expected: layout.decimal === "," ? "a number such as 12,4" : "a number such as 12.4",
        wayOut: wayOutFor(row, cell, found, layout),
      });
    },
    noTime(row: FoundRow, cell: number, expected: string, hasForce: boolean) {
      const found = cellText(row, cell);
      if (!hasForce && found === "") {
        timeless.add(row.line);
        return;
      }
      setAside(row, {
        code: "TRACE_TIME",
        message: "A time cannot be read.",
        where: where(row, cell),
        found: shorten(found),
        expected,
        wayOut: "Another column holds the time? Import again with --time-column.",
      });
    },
    otherCount(row: FoundRow) {
      if (row.cells.count < layout.columnNames.length) {
        short.add(row.line);
        return;
      }
      const extra = firstExtra(row, layout);
      if (extra === "") return;
      if (/^\d+$/.test(extra)) {
        list({
          code: "TRACE_ROW_LENGTH",
          message: "A row has more numbers than there are columns, so which is which cannot be told.",
          where: where(row, row.cells.count - 1),
          found: `${row.cells.count} cells`,
          expected: `${layout.columnNames.length} cells`,
          wayOut: "Decimal commas between commas? Export with another separator, such as a semicolon.",
        });
      } else long.add(row.line);
    },
    /** A row could be read: words before it were not the end of the file. */
    rowRead() {
      if (heldCount === 0) return;
      for (const problem of held) if (problems.length < mostListed) problems.push(problem);
      count += heldCount;
      held.length = 0;
      heldCount = 0;
    },
    finish(): { problems: readonly Problem[]; count: number; warnings: readonly Warning[] } {
      const [firstHeld] = held;
      if (firstHeld !== undefined && count === 0 && heldCount <= mostListed)
        warnings.push({
          code: "TRACE_FOOTER",
          message: `The file ends with ${heldCount} line${heldCount === 1 ? "" : "s"} of text, which were left out.`,
          ...(firstHeld.where === undefined ? {} : { where: firstHeld.where }),
        });
      else this.rowRead();
      warnings.push(
        ...repeats.warning(
          "TRACE_HEADER_REPEATED",
          (lines) => `The header stands again ${lines} and was left out.`,
        ),
        ...comments.warning("TRACE_COMMENT", (lines) => `Lines of remarks were left out ${lines}.`),
        ...short.warning(
          "TRACE_ROW_SHORT",
          (lines) =>
            `Rows have fewer cells than there are columns ${lines}; the cells that are wanting count as missing.`,
        ),
        ...long.warning(
          "TRACE_ROW_LONG",
          (lines) => `Rows have more cells than there are columns ${lines}; what stands beyond was left out.`,
        ),
        ...timeless.warning(
          "TRACE_ROW_TIMELESS",
          (lines) => `Rows with neither time nor force were left out ${lines}.`,
        ),
      );
      return { problems, count, warnings };
    },
  };
}

/** Bytes as ASCII text, for comparing. Short: a cell of a thousand characters is not a word for "missing". */
export function plainText(bytes: Uint8Array, from: number, to: number): string {
  let text = "";
  for (let at = from; at < to && at < from + 200; at++) text += String.fromCharCode(bytes[at] as number);
  return text;
}

type CountedCode =
  | "TRACE_HEADER_REPEATED"
  | "TRACE_COMMENT"
  | "TRACE_ROW_SHORT"
  | "TRACE_ROW_LONG"
  | "TRACE_ROW_TIMELESS";

function counter() {
  let count = 0;
  let first = 0;
  return {
    add(line: number) {
      if (count === 0) first = line;
      count++;
    },
    warning(code: CountedCode, sentence: (lines: string) => string): Warning[] {
      if (count === 0) return [];
      const lines = count === 1 ? `in line ${first}` : `in ${count} lines, the first of them ${first}`;
      return [{ code, message: sentence(lines), where: { line: first }, found: String(count) }];
    },
  };
}

function wayOutFor(row: FoundRow, cell: number, found: string, layout: Layout): string {
  const { bytes, cells } = row;
  const other = layout.decimal === "." ? 44 : 46;
  const start = cells.starts[cell] as number;
  const end = cells.ends[cell] as number;
  if (!Number.isNaN(parseNumber(bytes, start, end, other)))
    return other === 44
      ? "Decimal commas? Import again with --decimal comma."
      : "Decimal points? Import again with --decimal point.";
  if (thousands.test(found)) return "Thousands marks are not guessed: export the numbers without them.";
  if (withUnit.test(found)) return "Export the numbers without units.";
  if (/^(?:ol|over|inf|err|#)/i.test(found))
    return "The logger wrote no force here. Empty the cell if the value is missing; a clipped cell is not a peak.";
  return "Correct or remove this line, or choose another column with --force-column.";
}

/** A line without any number in it: a heading or a remark. */
function isWords({ bytes, cells }: FoundRow, layout: Layout): boolean {
  const first = cells.starts[0] as number;
  const letter = (bytes[first] as number) | 32;
  if (!((letter >= 97 && letter <= 122) || (bytes[first] as number) >= 128)) return false;
  const kept = Math.min(cells.count, cells.starts.length);
  for (let cell = 0; cell < kept; cell++)
    if (
      !Number.isNaN(
        parseNumber(
          bytes,
          cells.starts[cell] as number,
          cells.ends[cell] as number,
          layout.decimal.charCodeAt(0),
        ),
      )
    )
      return false;
  return true;
}

/** The first cell beyond the columns that is not empty. */
function firstExtra({ bytes, to, cells }: FoundRow, layout: Layout): string {
  const lastKept = Math.min(cells.count, cells.ends.length) - 1;
  const rest = plainText(bytes, cells.ends[lastKept] as number, to).replace(/^"/, "");
  const separator = layout.separator === "whitespace" ? /[ \t]+/ : layout.separator;
  return (
    rest
      .split(separator)
      .map((cell) => cell.trim())
      .find((cell) => cell !== "") ?? ""
  );
}

/** UTF-16 has been turned into UTF-8 by the time a row is looked at. */
function textEncoding(layout: Layout): "utf-8" | "windows-1252" {
  return layout.encoding === "windows-1252" ? "windows-1252" : "utf-8";
}

function shorten(text: string): string {
  const line = text.trimEnd();
  return line.length <= mostText ? line : `${line.slice(0, mostText)}…`;
}
