import type { Problem } from "../../problem/mod.ts";
import type { LayoutHints } from "../layout.ts";
import { splitCells } from "../text/cells.ts";
import { headerOnly } from "../text/parse-recording.ts";
import { type Dialect, findDialect, hasLeadingZeros } from "./dialect.ts";
import { proseProblem } from "./file-kind.ts";
import type { HeadText } from "./read-head.ts";

/** Why no way of reading a file's lines gives columns of numbers. */
export function whyNoDialect(head: HeadText, hints: LayoutHints): Problem {
  const { lines } = head;
  if ((hints.separator !== undefined || hints.decimal !== undefined) && findDialect(head, {}) !== undefined) {
    const said = [hints.separator, hints.decimal]
      .filter((hint) => hint !== undefined)
      .map((hint) => JSON.stringify(hint));
    return {
      code: "TRACE_HINT",
      message: `Read with ${said.join(" and ")} the file has no columns of numbers.`,
      found: lines.find((line) => /\d/.test(line))?.slice(0, 120) ?? "",
      expected: "a separator and a decimal mark that the file has",
      wayOut: "Leave out --separator and --decimal, and they are found.",
    };
  }
  const filled = lines.filter((line) => line.trim() !== "");
  // A heading is short words in cells; a sentence is neither.
  const isHeading = (line: string) =>
    !/[.!?](?:\s|$)|[<{]/.test(line) &&
    line.split(/[,;\t|]/).every((cell) => cell.trim().split(/\s+/).length <= 5);
  const looksLikeHeader =
    filled.length <= 3 && filled.every(isHeading) && filled.some((line) => /[,;\t|]/.test(line));
  return looksLikeHeader ? headerOnly : proseProblem(lines);
}

/** "12,4,13,5": commas between cells and within them. Two headings over four cells, or cells such as "05", show it. */
export function ambiguousCommas(dialect: Dialect, lines: readonly string[]): Problem | undefined {
  if (dialect.separator !== "," || dialect.decimal !== ".") return undefined;
  const row = lines[dialect.firstRow] as string;
  const whole = splitCells(row, ",").every((cell) => /^[+-]?\d*$/.test(cell));
  if (!whole || row.includes('"')) return undefined;
  const above = lines
    .slice(0, dialect.firstRow)
    .findLast((line) => line.trim() !== "" && /[a-z]/i.test(line));
  const named = above === undefined ? 0 : splitCells(above, ",").length;
  const tooFew = named >= 1 && named < dialect.columns && dialect.columns <= 2 * named;
  if (!tooFew && !hasLeadingZeros(dialect, lines)) return undefined;
  return {
    code: "TRACE_AMBIGUOUS",
    message: "Commas stand between the cells and within the numbers, so which is which cannot be told.",
    where: { line: dialect.firstRow + 1, text: row.slice(0, 120) },
    found: row.slice(0, 120),
    expected:
      named > 0 ? `${named} cells, as the header has` : "one mark between cells and another within numbers",
    wayOut: "Export again with a semicolon or a tab between the cells, or with decimal points.",
  };
}

/**
 * Numbers with points in one column and commas in another: one of the two parts thousands, and taking it for a decimal
 * mark would be wrong by a factor of a thousand.
 */
export function mixedMarks(
  dialect: Dialect,
  rows: readonly (readonly string[])[],
  hints: LayoutHints,
): Problem | undefined {
  if (hints.decimal !== undefined) return undefined;
  const [own, other] = dialect.decimal === "," ? [",", "."] : [".", ","];
  const withOwn = new RegExp(`^[+-]?\\d*[${own}]\\d+$`);
  const withOther = new RegExp(`^[+-]?\\d*[${other}]\\d+$`);
  let anyOwn = false;
  let example: string | undefined;
  for (let column = 0; column < dialect.columns; column++) {
    const cells = new Set(rows.map((row) => row[column] ?? ""));
    // A version or a serial number is the same in every row.
    if (cells.size < 3) continue;
    for (const cell of cells) {
      anyOwn ||= withOwn.test(cell);
      if (withOther.test(cell)) example ??= cell;
    }
  }
  if (!anyOwn || example === undefined) return undefined;
  return {
    code: "TRACE_AMBIGUOUS",
    message:
      "Some numbers have points and others commas, so which of them is the decimal mark cannot be told.",
    where: { line: dialect.firstRow + 1 },
    found: example,
    expected: "one decimal mark in the whole file, and no thousands marks",
    wayOut: "Thousands marks are not guessed: export without them, or say the decimal mark with --decimal.",
  };
}
