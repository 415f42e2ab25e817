import type { Problem } from "../../problem/mod.ts";

/** First bytes by which a format gives itself away, with where they stand. */
const marks: readonly (readonly [at: number, mark: string, kind: string])[] = [
  [0, "\x89PNG\r\n", "a picture (PNG)"],
  [0, "\xff\xd8\xff", "a picture (JPEG)"],
  [0, "GIF8", "a picture (GIF)"],
  [0, "%PDF", "a PDF document"],
  [0, "PK\x03\x04", "a ZIP archive or a workbook (XLSX)"],
  [0, "PK\x05\x06", "an empty ZIP archive"],
  [0, "\xd0\xcf\x11\xe0", "an old workbook or document (XLS, DOC)"],
  [0, "SQLite format 3\0", "an SQLite database"],
  [0, "\x1f\x8b", "gzip-compressed data"],
  [0, "7z\xbc\xaf\x27\x1c", "a 7z archive"],
  [0, "Rar!", "a RAR archive"],
  [0, "BZh", "bzip2-compressed data"],
  [0, "II*\0", "a picture (TIFF)"],
  [0, "MM\0*", "a picture (TIFF)"],
  [0, "RIFF", "a sound, a film or a picture (RIFF)"],
  [4, "ftyp", "a film or a picture (MP4, MOV, HEIC)"],
  [0, "\x89HDF", "an HDF5 file"],
  [0, "\x7fELF", "a program"],
  [0, "PAR1", "a Parquet file"],
];

/** What a file's first bytes say that it is, where it is no text; nothing for what may be text. */
export function binaryKind(head: Uint8Array): string | undefined {
  const found = marks.find(([at, mark]) => startsWith(head, at, mark));
  if (found === undefined) return undefined;
  if (found[1] !== "PK\x03\x04") return found[2];
  let names = "";
  for (const byte of head.subarray(0, 4096)) names += String.fromCharCode(byte);
  return /xl\/|\[Content_Types\]\.xml/.test(names) ? "a workbook (XLSX)" : "a ZIP archive";
}

/** The refusal of a file that is no text, with the way to get one. */
export function binaryProblem(kind: string | undefined, fileName?: string): Problem {
  const wayOut = kind?.includes("workbook")
    ? "Save the sheet as CSV and import that."
    : /archive|compressed/.test(kind ?? "")
      ? "Unpack it and import the files in it."
      : "Import the text file (CSV, TSV) that the logger wrote.";
  return {
    code: "TRACE_BINARY",
    message: `The file is not text: it seems to be ${kind ?? "binary data"}.`,
    ...(fileName === undefined ? {} : { where: { file: fileName } }),
    found: kind ?? "bytes that are in no text",
    expected: "rows of numbers as text",
    wayOut,
  };
}

/** The refusal of text that has no columns of numbers. */
export function proseProblem(lines: readonly string[]): Problem {
  const first = lines.find((line) => line.trim() !== "") ?? "";
  const kind = /^\s*<(?:!doctype html|html)/i.test(first)
    ? "a web page"
    : /^\s*<\?xml/.test(first)
      ? "XML"
      : /^\s*[{[]\s*(?:["{[]|$)/.test(first)
        ? "JSON"
        : "words";
  return {
    code: "TRACE_TEXT",
    message: "No columns of numbers were found in this file.",
    where: { line: lines.indexOf(first) + 1, text: first.slice(0, 120) },
    found: kind,
    expected: "rows of numbers, such as 0.01,12.4",
    wayOut: "Import the file that the logger wrote, exported as CSV.",
  };
}

function startsWith(head: Uint8Array, from: number, mark: string): boolean {
  if (head.length < from + mark.length) return false;
  for (let at = 0; at < mark.length; at++) if (head[from + at] !== mark.charCodeAt(at)) return false;
  return true;
}
