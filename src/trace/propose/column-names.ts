import { splitCells } from "../text/cells.ts";
import type { Dialect } from "./dialect.ts";

/** The columns' names as the header has them, or "column 3" where it has none. */
export function columnNames(lines: readonly string[], { header, columns, separator }: Dialect): string[] {
  const line = header === undefined ? "" : (lines[header] as string).replace(/^\s*[#%]\s*/, "");
  let cells = header === undefined ? [] : splitCells(line, separator);
  if (separator === "whitespace" && cells.length > columns) cells = regroup(line, columns);
  return Array.from({ length: columns }, (_, at) => {
    const name = cells[at] ?? "";
    return name === "" ? `column ${at + 1}` : name;
  });
}

/** "Time (s)   Force (kN)": a unit in brackets belongs to the word before it; else two blanks part the headings. */
function regroup(line: string, columns: number): string[] {
  const joined = line
    .trim()
    .replace(/\s+([([])/g, "\u00a0$1")
    .split(/[ \t]+/);
  if (joined.length === columns) return joined.map((cell) => cell.replace(/\u00a0/g, " "));
  const wide = line.trim().split(/ {2,}|\t+/);
  return wide.length === columns ? wide : [];
}
