import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { Encoding } from "../layout.ts";
import { layoutHeadBytes, maxColumns, maxRecordingBytes } from "../limits.ts";
import { splitCells } from "../text/cells.ts";
import { decodeText, findEncoding } from "../text/encoding.ts";
import { empty, tooLarge } from "../text/parse-recording.ts";
import { binaryKind, binaryProblem } from "./file-kind.ts";

/** The head of a file as text. */
export type Head = {
  readonly encoding: Encoding;
  readonly encodingReason: string;
} & HeadText;

/** Whole lines of a head; a last one that the head cuts off is left out. */
export type HeadText = {
  readonly lines: readonly string[];
  /** All of them as they lie, for what is asked of all at once. */
  readonly text: string;
};

export type HeadOptions = {
  readonly encoding?: Encoding;
  readonly totalBytes?: number;
  readonly fileName?: string;
};

/** Turns the first bytes of a file into lines, or says why it is no recording. */
export function readHead(bytes: Uint8Array, options: HeadOptions): Result<Head> {
  const total = Math.max(options.totalBytes ?? 0, bytes.length);
  if (total > maxRecordingBytes) return refuse(tooLarge(maxRecordingBytes, total));
  if (bytes.length === 0) return refuse(empty);
  const kind = binaryKind(bytes);
  if (kind !== undefined) return refuse(binaryProblem(kind, options.fileName));
  const head = bytes.subarray(0, layoutHeadBytes);
  const found = findEncoding(head);
  if (found === undefined) return refuse(binaryProblem(undefined, options.fileName));
  if (options.encoding !== undefined && options.encoding !== found.encoding) {
    const contradiction = contradictedEncoding(options.encoding, found.encoding, head);
    if (contradiction !== undefined) return refuse(contradiction);
  }
  const encoding = options.encoding ?? found.encoding;
  const text = decodeText(head, encoding).replace(/^\ufeff/, "");
  const lines = text.includes("\r") ? text.split(/\r\n|\n|\r/) : text.split("\n");
  const isCut = total > head.length;
  const left = lines.at(-1) === "" || (isCut && lines.length > 1) ? (lines.pop() ?? "") : "";
  if (lines.every((line) => line.trim() === "")) return refuse(empty);
  const columns = mostCells(lines);
  if (columns > maxColumns) return refuse(tooManyColumns(columns, isCut && lines.length === 1));
  const reason =
    options.encoding === undefined ? found.reason : `The file is read as ${encoding}, as you said.`;
  return ok({ encoding, encodingReason: reason, lines, text: text.slice(0, text.length - left.length) });
}

/** UTF-16 cannot be read as single bytes, nor the other way round; bytes that are not UTF-8 cannot be read as UTF-8. */
function contradictedEncoding(said: Encoding, found: Encoding, head: Uint8Array): Problem | undefined {
  const wide = (encoding: Encoding) => encoding.startsWith("utf-16");
  const marked = head[0] === 0xef || head[0] === 0xff || head[0] === 0xfe;
  const fits = !wide(said) && !wide(found) && !(said === "utf-8" && found === "windows-1252") && !marked;
  if (fits || (found === "utf-8" && said === "windows-1252")) return undefined;
  return {
    code: "TRACE_HINT",
    message: `The file is not ${said}: its bytes are ${found}.`,
    found: found,
    expected: said,
    wayOut: `Leave out --encoding, or import again with --encoding ${found}.`,
  };
}

/** The most cells that one of the first lines has, by the commonest separators; one look at each is enough. */
function mostCells(lines: readonly string[]): number {
  let most = 0;
  for (const line of lines.slice(0, 50)) {
    if (line.length <= most) continue;
    for (const separator of [",", ";", "\t", "|", "whitespace"] as const) {
      const cells =
        separator === "whitespace" ? line.trim().split(/[ \t]+/).length : splitCells(line, separator).length;
      // A long line of prose has many words; a row has many of numbers.
      if (cells > maxColumns && separator === "whitespace" && /[a-z]{3}/i.test(line.slice(0, 2000))) continue;
      most = Math.max(most, cells);
    }
  }
  return most;
}

function tooManyColumns(columns: number, isCut: boolean): Problem {
  return {
    code: "TRACE_TOO_MANY_COLUMNS",
    message: "The file has more columns than a logger writes.",
    found: `${isCut ? "more than " : ""}${columns} columns`,
    expected: `at most ${maxColumns}`,
    wayOut: "Export time and force only; if rows and columns were swapped, swap them back.",
  };
}
