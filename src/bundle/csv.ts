import { ok, type Result, refuse } from "../problem/mod.ts";
import { csvCell } from "../report/mod.ts";

export type Cell = string | number | undefined;

/** Lines of cells as CSV by RFC 4180, texts guarded against spreadsheets. */
export function writeCsv(lines: readonly (readonly Cell[])[]): string {
  return lines.map((cells) => `${cells.map(csvCell).join(",")}\r\n`).join("");
}

/** The text of a cell without the apostrophe that guards it. */
export function unguarded(cell: string): string {
  return /^'+\s*[=+\-@\t\r\n]/.test(cell) ? cell.slice(1) : cell;
}

/**
 * Reads CSV by RFC 4180: commas, quotes doubled within quotes, CRLF or LF. Every line has as many cells as the first.
 *
 * @example
 * readCsv('a,b\r\n"1,5",\r\n', "x.csv") // { ok: true, value: [["a", "b"], ["1,5", ""]], warnings: [] }
 */
export function readCsv(text: string, file: string): Result<readonly (readonly string[])[]> {
  const lines: string[][] = [];
  let line: string[] = [];
  let at = 0;
  while (at < text.length) {
    let cell = "";
    if (text[at] === '"') {
      at += 1;
      for (;;) {
        const end = text.indexOf('"', at);
        if (end < 0)
          return refuse({
            code: "BUNDLE_TABLE",
            message: "A quotation mark is opened in the table and never closed.",
            where: { file, row: lines.length },
          });
        cell += text.slice(at, end);
        at = end + 1;
        if (text[at] !== '"') break;
        cell += '"';
        at += 1;
      }
    }
    let end = at;
    while (end < text.length && text[end] !== "," && text[end] !== "\n" && text[end] !== "\r") end += 1;
    line.push(cell + text.slice(at, end));
    at = end;
    if (text[at] === ",") {
      at += 1;
      // A comma at the very end is followed by an empty cell.
      if (at === text.length) line.push("");
      continue;
    }
    at += text[at] === "\r" && text[at + 1] === "\n" ? 2 : 1;
    lines.push(line);
    line = [];
  }
  if (line.length > 0) lines.push(line);
  const width = lines[0]?.length ?? 0;
  const wrong = lines.findIndex((cells) => cells.length !== width);
  if (wrong >= 0)
    return refuse({
      code: "BUNDLE_TABLE",
      message: "A row of the table has more or fewer cells than its header.",
      where: { file, row: wrong },
      found: String(lines[wrong]?.length),
      expected: String(width),
    });
  return ok(lines);
}
