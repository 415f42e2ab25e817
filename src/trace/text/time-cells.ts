import type { TimeSource } from "../layout.ts";
import { parseNumber } from "./numbers.ts";
import { isoOf, namesZone, parseDateTime, parseTimeOfDay, type Stamp } from "./stamps.ts";

/** Turns the cells of a time column into seconds as the file counts them. */
export type TimeCells = {
  /** Seconds, or NaN where the cell is no time. Stamps and epochs count from the first row. */
  readonly read: (bytes: Uint8Array, from: number, to: number) => number;
  /** Turns the numbers of cells into seconds where they lie, `from` to before `to`; absent where cells are no numbers. */
  readonly toSeconds?: (numbers: Float64Array, from: number, to: number) => void;
  /** What a cell should look like, for a message. */
  readonly expected: string;
  /** When the first row was taken, where the file stamps a date. */
  readonly startedAt: () => string | undefined;
};

const perSecond = { s: 1, ms: 1e3, us: 1e6 } as const;
const secondsOfDay = 86_400;

export function createTimeCells(source: Extract<TimeSource, { kind: "column" }>, decimal: number): TimeCells {
  const { format } = source;
  if (format === "date-time" || format === "time-of-day") return stampCells(source);
  const unit = perSecond[format.slice(format.indexOf("-") + 1) as "s" | "ms" | "us"];
  const isEpoch = format.startsWith("epoch");
  let first: number | undefined;
  const ofNumber = (value: number) => {
    if (!isEpoch) return value / unit;
    // Epochs are subtracted before they are scaled: 16 digits would not survive it the other way round.
    first ??= value;
    return (value - first) / unit;
  };
  return {
    read(bytes, from, to) {
      const value = parseNumber(bytes, from, to, decimal);
      return Number.isNaN(value) ? value : ofNumber(value);
    },
    toSeconds(numbers, from, to) {
      if (!isEpoch && unit === 1) return;
      for (let at = from; at < to; at++) numbers[at] = ofNumber(numbers[at] as number);
    },
    expected: decimal === 44 ? "a number such as 12,4" : "a number such as 12.4",
    startedAt() {
      if (!isEpoch || first === undefined) return undefined;
      const seconds = first / unit;
      const day = Math.floor(seconds / secondsOfDay);
      return isoOf({ day, second: seconds - day * secondsOfDay }, true);
    },
  };
}

function stampCells({ format, dateOrder = "ymd" }: Extract<TimeSource, { kind: "column" }>): TimeCells {
  const stamp: Stamp = { day: 0, second: 0 };
  const dated = format === "date-time";
  let first: { day: number; second: number; zone: boolean } | undefined;
  let passed = 0;
  let last = 0;
  return {
    read(bytes, from, to) {
      const isStamp = dated
        ? parseDateTime(bytes, from, to, dateOrder, stamp)
        : parseTimeOfDay(bytes, from, to, stamp);
      if (!isStamp) return Number.NaN;
      if (first === undefined)
        first = {
          ...stamp,
          zone: namesZone(String.fromCharCode(...bytes.subarray(from, Math.min(to, from + 64)))),
        };
      // A time of day that falls by more than half a day has passed midnight.
      if (!dated && stamp.second - last < -secondsOfDay / 2) passed += secondsOfDay;
      if (!dated) last = stamp.second;
      return (stamp.day - first.day) * secondsOfDay + (stamp.second - first.second) + passed;
    },
    expected: dated ? "a date and time such as 2024-05-31 14:02:07.5" : "a time of day such as 14:02:07.5",
    startedAt: () => (dated && first !== undefined ? isoOf(first, first.zone) : undefined),
  };
}
