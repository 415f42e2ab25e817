import { newtons, toForceUnit } from "../../units/mod.ts";
import type { Encoding } from "../layout.ts";
import type { DialectColumn, LoggerDialect } from "./dialect.ts";
import type { SimulatedRecording } from "./simulate-recording.ts";

/** What goes into a file. A force that is NaN is missing. */
export type WrittenSamples = Pick<SimulatedRecording, "timeS" | "forceN" | "displacementM"> & {
  readonly segment?: Int32Array;
};

/**
 * Writes simulated samples as a logger of that dialect would: the bytes of its file.
 * A displacement column is left empty where the recording has none.
 *
 * @param startedAt when the first sample was taken, ISO 8601 with its zone; stamps and preamble follow it, in UTC.
 *
 * @example
 * const samples = { timeS: Float64Array.of(0, 0.01), forceN: Float64Array.of(1000, 2000) };
 * new TextDecoder().decode(writeRecording(samples, loggerDialects.plain, "2026-05-12T09:00:00Z"))
 * // "time_s,force_N\n0.000,1000.0\n0.010,2000.0\n"
 */
export function writeRecording(
  samples: WrittenSamples,
  dialect: LoggerDialect,
  startedAt: string,
): Uint8Array {
  const startMs = Date.parse(startedAt);
  const started = new Date(startMs).toISOString();
  const lines = dialect.preamble.map((line) =>
    line.replace("{date}", started.slice(0, 10)).replace("{time}", started.slice(11, 19)),
  );
  if (dialect.header !== undefined) lines.push(dialect.header.join(dialect.separator));
  if (dialect.unitRow !== undefined) lines.push(dialect.unitRow.join(dialect.separator));
  const cells = dialect.columns.map((column) => cellWriter(column, samples, startMs, dialect));
  for (let row = 0; row < samples.timeS.length; row++) {
    lines.push(cells.map((cell) => cell(row)).join(dialect.separator));
  }
  lines.push("");
  return encode((dialect.byteOrderMark ? "\uFEFF" : "") + lines.join(dialect.newline), dialect.encoding);
}

function cellWriter(
  column: DialectColumn,
  { timeS, forceN, displacementM, segment }: WrittenSamples,
  startMs: number,
  { decimal, missingWord = "" }: LoggerDialect,
): (row: number) => string {
  if (column.holds === "segment") return (row) => String(segment?.[row] ?? "");
  const written = (values: Float64Array, factor: number, offset = 0) => {
    return (row: number): string => {
      const value = values[row] as number;
      if (Number.isNaN(value)) return missingWord;
      const text = (value * factor + offset).toFixed(column.decimals);
      return decimal === "," ? text.replace(".", ",") : text;
    };
  };
  if (column.holds === "force") return written(forceN, toForceUnit(newtons(1), column.unit));
  if (column.holds === "displacement") {
    return displacementM === undefined ? () => "" : written(displacementM, column.unit === "mm" ? 1000 : 1);
  }
  const stamp = stampWriter(startMs, timeS);
  switch (column.format) {
    case "elapsed-s":
      return written(timeS, 1);
    case "elapsed-ms":
      return written(timeS, 1e3);
    case "elapsed-us":
      return written(timeS, 1e6);
    case "epoch-s":
      return written(timeS, 1, startMs / 1e3);
    case "epoch-ms":
      return written(timeS, 1e3, startMs);
    case "epoch-us":
      return written(timeS, 1e6, startMs * 1e3);
    case "date-time":
      return stamp;
    case "time-of-day":
      return (row) => stamp(row).slice(11, 23);
  }
}

/** The stamp of a row, UTC: only the first of each second is written out by the clock, which is the slow part. */
function stampWriter(startMs: number, timeS: Float64Array): (row: number) => string {
  let writtenSecond: number | undefined;
  let upToSecond = "";
  return (row) => {
    const atMs = Math.trunc(startMs + (timeS[row] as number) * 1000);
    const second = Math.floor(atMs / 1000);
    if (second !== writtenSecond) {
      writtenSecond = second;
      upToSecond = new Date(second * 1000).toISOString().slice(0, -4);
    }
    return `${upToSecond}${String(atMs - second * 1000).padStart(3, "0")}Z`;
  };
}

function encode(text: string, encoding: Encoding): Uint8Array {
  if (encoding === "utf-8") return new TextEncoder().encode(text);
  const wide = encoding !== "windows-1252";
  const low = encoding === "utf-16be" ? 1 : 0;
  const bytes = new Uint8Array(wide ? 2 * text.length : text.length);
  for (let index = 0; index < text.length; index++) {
    const code = text.charCodeAt(index);
    // The dialects keep to the characters that windows-1252 shares with Unicode's first 256.
    if (!wide) bytes[index] = code;
    else {
      bytes[2 * index + low] = code & 0xff;
      bytes[2 * index + 1 - low] = code >> 8;
    }
  }
  return bytes;
}
