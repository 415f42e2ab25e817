import type { DraftLayout } from "../../trace/mod.ts";

export const separatorWords: Readonly<Record<string, string>> = {
  ",": "commas",
  ";": "semicolons",
  "\t": "tabs",
  "|": "bars",
  whitespace: "spaces",
};

/** A layout in one sentence: what parts the values, where time and force come from. */
export function layoutSentence(layout: DraftLayout): string {
  const name = (column: number): string => layout.columnNames[column - 1] ?? `column ${column}`;
  const time =
    layout.time.kind === "column"
      ? `time from “${name(layout.time.column)}” as ${timeWords[layout.time.format] ?? layout.time.format}`
      : layout.time.kind === "rate"
        ? `time from ${layout.time.hz} samples a second`
        : "no time";
  const force =
    layout.force === undefined
      ? "force not found yet"
      : `force from “${name(layout.force.column)}” in ${layout.force.unit ?? "a unit that you must say"}${layout.force.inverted ? ", turned round since a pull is negative in it" : ""}`;
  const decimal = layout.decimal === "," ? "decimal comma" : "decimal point";
  return `Values parted by ${separatorWords[layout.separator] ?? layout.separator}, ${decimal}; ${time}; ${force}.`;
}

const timeWords: Readonly<Record<string, string>> = {
  "elapsed-s": "seconds",
  "elapsed-ms": "milliseconds",
  "elapsed-us": "microseconds",
  "epoch-s": "seconds since 1970",
  "epoch-ms": "milliseconds since 1970",
  "epoch-us": "microseconds since 1970",
  "date-time": "date and time",
  "time-of-day": "time of day",
};
