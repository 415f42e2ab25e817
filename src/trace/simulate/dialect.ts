import type { ForceUnit } from "../../units/mod.ts";
import type { Encoding, Layout, Separator, TimeFormat } from "../layout.ts";

/** What a column of a simulated logger's file holds, and how it writes it. */
export type DialectColumn =
  | { readonly holds: "time"; readonly format: TimeFormat; readonly decimals: number }
  | { readonly holds: "force"; readonly unit: ForceUnit; readonly decimals: number }
  | { readonly holds: "displacement"; readonly unit: "m" | "mm"; readonly decimals: number }
  /** Which pull of the file the row belongs to, from 1. */
  | { readonly holds: "segment" };

/** How one make of logger writes its files. */
export type LoggerDialect = {
  readonly name: string;
  readonly encoding: Encoding;
  readonly byteOrderMark: boolean;
  readonly newline: "\n" | "\r\n";
  readonly separator: Exclude<Separator, "whitespace">;
  readonly decimal: "." | ",";
  /** Lines before the header; "{date}" and "{time}" stand for when the recording began. */
  readonly preamble: readonly string[];
  readonly columns: readonly DialectColumn[];
  /** One name for each column; absent: no header. */
  readonly header?: readonly string[];
  /** A row of units below the header. */
  readonly unitRow?: readonly string[];
  /** What stands in place of a force that is missing; left out: nothing. */
  readonly missingWord?: string;
};

/** Loggers of our own invention, each with habits that real ones have. */
export const loggerDialects = {
  /** Comma, point, seconds, newtons, one header line. */
  plain: {
    name: "plain",
    encoding: "utf-8",
    byteOrderMark: false,
    newline: "\n",
    separator: ",",
    decimal: ".",
    preamble: [],
    columns: [
      { holds: "time", format: "elapsed-s", decimals: 3 },
      { holds: "force", unit: "N", decimals: 1 },
    ],
    header: ["time_s", "force_N"],
  },
  /** Semicolon, decimal comma, a German preamble in an old code page, units in a row of their own. */
  continental: {
    name: "continental",
    encoding: "windows-1252",
    byteOrderMark: false,
    newline: "\r\n",
    separator: ";",
    decimal: ",",
    preamble: ["Zugprüfung", "Datum;{date}", "Uhrzeit;{time}", "Kraftaufnehmer;100 kN"],
    columns: [
      { holds: "time", format: "elapsed-s", decimals: 3 },
      { holds: "force", unit: "kN", decimals: 4 },
      { holds: "displacement", unit: "mm", decimals: 2 },
    ],
    header: ["Zeit", "Kraft", "Weg"],
    unitRow: ["s", "kN", "mm"],
  },
  /** Tab, UTF-16 with its mark, a date and time on each row, pounds-force. */
  stamped: {
    name: "stamped",
    encoding: "utf-16le",
    byteOrderMark: true,
    newline: "\r\n",
    separator: "\t",
    decimal: ".",
    preamble: ["Load log", "Started {date} {time} UTC"],
    columns: [
      { holds: "time", format: "date-time", decimals: 3 },
      { holds: "force", unit: "lbf", decimals: 2 },
    ],
    header: ["Timestamp", "Load (lbf)"],
  },
  /** No header and no unit: whole milliseconds and kilograms-force. */
  bare: {
    name: "bare",
    encoding: "utf-8",
    byteOrderMark: false,
    newline: "\r\n",
    separator: ",",
    decimal: ".",
    preamble: [],
    columns: [
      { holds: "time", format: "elapsed-ms", decimals: 0 },
      { holds: "force", unit: "kgf", decimals: 2 },
    ],
  },
} as const satisfies Record<string, LoggerDialect>;

/**
 * The layout with which a dialect's files are read.
 *
 * @example
 * layoutOf(loggerDialects.continental).decimal // ","
 */
export function layoutOf(dialect: LoggerDialect): Layout {
  const place = (holds: DialectColumn["holds"]): number =>
    dialect.columns.findIndex((c) => c.holds === holds);
  const time = dialect.columns.find((c) => c.holds === "time");
  const force = dialect.columns.find((c) => c.holds === "force");
  const displacement = dialect.columns.find((c) => c.holds === "displacement");
  // A dialect without a force column is a mistake in the program, not in anybody's input.
  if (force === undefined) throw new Error(`the dialect "${dialect.name}" writes no force`);
  return {
    encoding: dialect.encoding,
    separator: dialect.separator,
    decimal: dialect.decimal,
    preambleLines: dialect.preamble.length,
    headerRow: dialect.header !== undefined,
    unitRow: dialect.unitRow !== undefined,
    columnNames: dialect.header ?? dialect.columns.map((_, index) => `column ${index + 1}`),
    time:
      time === undefined
        ? { kind: "none" }
        : { kind: "column", column: place("time") + 1, format: time.format },
    force: { column: place("force") + 1, unit: force.unit, inverted: false },
    ...(displacement === undefined
      ? {}
      : { displacement: { column: place("displacement") + 1, unit: displacement.unit } }),
    ...(dialect.columns.some((c) => c.holds === "segment")
      ? { segment: { column: place("segment") + 1 } }
      : {}),
  };
}
