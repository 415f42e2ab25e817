import type { DateOrder } from "../layout.ts";
import { isDigit } from "./numbers.ts";

/** A moment as a file stamps it: a day (days since 1970-01-01, 0 where there is no date) and seconds of that day. */
export type Stamp = { day: number; second: number };

const secondsOfDay = 86_400;
const monthNames = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/**
 * Reads a date with a time of day: ISO 8601 and its relatives, such as 2018-11-30T09:58:27.538Z,
 * 2018-11-30-09:58:27.538, 30.11.2018 09:58:27,5, 11/30/2018 9:58:27 AM, 30-Nov-2018 09:58. A date alone is its midnight.
 * An offset such as +01:00 is taken off. Writes into `stamp` and says whether it could.
 */
export function parseDateTime(
  bytes: Uint8Array,
  from: number,
  to: number,
  order: DateOrder,
  stamp: Stamp,
): boolean {
  const cursor = { bytes, at: from, to };
  const first = readPart(cursor);
  const yearFirst = order === "ymd";
  if (!skipMark(cursor)) return false;
  const second = readPart(cursor);
  if (!skipMark(cursor)) return false;
  const third = readPart(cursor);
  const [year, month, day] = yearFirst
    ? [first, second, third]
    : order === "dmy" || isMonthName(second)
      ? [third, second, first]
      : [third, first, second];
  const days = dayNumber(year, month, day);
  if (days === undefined) return false;
  stamp.day = days;
  stamp.second = 0;
  if (cursor.at >= to) return true;
  const mark = bytes[cursor.at];
  // "T", blank, "-", "_", "," or ", " stand between date and time.
  if (mark !== 84 && mark !== 116 && mark !== 32 && mark !== 45 && mark !== 95 && mark !== 44) return false;
  cursor.at++;
  skipBlanks(cursor);
  return readTimeOfDay(cursor, stamp);
}

/** Reads a time of day such as 09:58:27.538, 9:58:27,5 or 9:58 PM, or minutes and seconds such as 59:58.25. */
export function parseTimeOfDay(bytes: Uint8Array, from: number, to: number, stamp: Stamp): boolean {
  stamp.day = 0;
  return readTimeOfDay({ bytes, at: from, to }, stamp);
}

/** Seconds since 1970-01-01 without regard to zones. */
export function secondsOf({ day, second }: Stamp): number {
  return day * secondsOfDay + second;
}

/** A stamp as ISO 8601, with "Z" only where the file says the zone. */
export function isoOf({ day, second }: Stamp, zone: boolean): string {
  const wholeDays = day + Math.floor(second / secondsOfDay);
  const rest = second - Math.floor(second / secondsOfDay) * secondsOfDay;
  const { year, month, date } = civilOf(wholeDays);
  const milliseconds = Math.min(secondsOfDay * 1000 - 1, Math.round(rest * 1000));
  const two = (value: number) => String(value).padStart(2, "0");
  const seconds = Math.floor(milliseconds / 1000);
  const part = milliseconds % 1000;
  const clock = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  const fraction = part === 0 ? "" : `.${String(part).padStart(3, "0")}`;
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(date)}T${clock}${fraction}${zone ? "Z" : ""}`;
}

/** Whether a stamp names its zone: it ends in "Z" or in an offset after the time. */
export function namesZone(text: string): boolean {
  return /(?:\dZ|:\d\d(?:[.,]\d+)?\s*[+-]\d\d:?\d\d)\s*$/i.test(text);
}

type Cursor = { readonly bytes: Uint8Array; at: number; readonly to: number };

function readTimeOfDay(cursor: Cursor, stamp: Stamp): boolean {
  const { bytes, to } = cursor;
  let hour = readDigits(cursor, 3);
  if (hour < 0 || !skip(cursor, 58)) return false;
  const minute = readDigits(cursor, 2);
  if (minute < 0 || minute > 59) return false;
  if (skip(cursor, 46) || skip(cursor, 44)) {
    // Hours and minutes have no decimals: these are minutes and seconds, as in 59:58.25.
    const fraction = readFraction(cursor);
    stamp.second = hour * 60 + minute + fraction;
    return fraction >= 0 && cursor.at === to;
  }
  if (hour > 24) return false;
  let second = 0;
  if (skip(cursor, 58)) {
    second = readDigits(cursor, 2);
    if (second < 0 || second > 60) return false;
    // Some loggers write the milliseconds behind a third colon.
    if (skip(cursor, 46) || skip(cursor, 44) || skip(cursor, 58)) {
      const fraction = readFraction(cursor);
      if (fraction < 0) return false;
      second += fraction;
    }
  }
  skipBlanks(cursor);
  const letter = cursor.at < to ? (bytes[cursor.at] as number) | 32 : 0;
  if ((letter === 97 || letter === 112) && ((bytes[cursor.at + 1] as number) | 32) === 109) {
    if (hour < 1 || hour > 12) return false;
    hour = (hour % 12) + (letter === 112 ? 12 : 0);
    cursor.at += 2;
  }
  stamp.second = hour * 3600 + minute * 60 + second;
  skipBlanks(cursor);
  return readZone(cursor, stamp);
}

/** The digits behind a decimal mark, or −1 where there are none. */
function readFraction(cursor: Cursor): number {
  const start = cursor.at;
  let scale = 1;
  let fraction = 0;
  while (cursor.at < cursor.to && isDigit(cursor.bytes[cursor.at] as number)) {
    if (scale < 1e12) {
      fraction = fraction * 10 + ((cursor.bytes[cursor.at] as number) - 48);
      scale *= 10;
    }
    cursor.at++;
  }
  return cursor.at === start ? -1 : fraction / scale;
}

function skip(cursor: Cursor, byte: number): boolean {
  if (cursor.at >= cursor.to || cursor.bytes[cursor.at] !== byte) return false;
  cursor.at++;
  return true;
}

function skipBlanks(cursor: Cursor): void {
  while (skip(cursor, 32));
}

function readZone(cursor: Cursor, stamp: Stamp): boolean {
  const { bytes, to } = cursor;
  if (cursor.at >= to) return true;
  const mark = bytes[cursor.at] as number;
  if ((mark | 32) === 122) return cursor.at + 1 === to;
  if (mark !== 43 && mark !== 45) return false;
  cursor.at++;
  const hours = readDigits(cursor, 2);
  if (hours < 0 || hours > 18) return false;
  if (cursor.at < to && bytes[cursor.at] === 58) cursor.at++;
  const minutes = cursor.at < to ? readDigits(cursor, 2) : 0;
  if (minutes < 0 || minutes > 59 || cursor.at !== to) return false;
  stamp.second += (mark === 43 ? -1 : 1) * (hours * 3600 + minutes * 60);
  return true;
}

/** A number of up to four digits, or a month's name, which comes back as 100 and its number. */
function readPart(cursor: Cursor): number {
  const letter = cursor.bytes[cursor.at];
  if (letter === undefined || isDigit(letter)) return readDigits(cursor, 4);
  if (cursor.at + 3 > cursor.to) return -1;
  const name = String.fromCharCode(...cursor.bytes.subarray(cursor.at, cursor.at + 3)).toLowerCase();
  const month = monthNames.indexOf(name);
  if (month < 0) return -1;
  cursor.at += 3;
  return 101 + month;
}

function isMonthName(part: number): boolean {
  return part > 100 && part <= 112;
}

function readDigits(cursor: Cursor, most: number): number {
  let value = 0;
  const start = cursor.at;
  while (cursor.at < cursor.to && cursor.at - start < most && isDigit(cursor.bytes[cursor.at] as number))
    value = value * 10 + ((cursor.bytes[cursor.at++] as number) - 48);
  return cursor.at === start ? -1 : value;
}

function skipMark(cursor: Cursor): boolean {
  const mark = cursor.bytes[cursor.at];
  if (cursor.at >= cursor.to || (mark !== 45 && mark !== 46 && mark !== 47 && mark !== 32)) return false;
  cursor.at++;
  return true;
}

function dayNumber(year: number, monthPart: number, day: number): number | undefined {
  const month = isMonthName(monthPart) ? monthPart - 100 : monthPart;
  if (year < 0 || month < 1 || month > 12 || day < 1 || day > 31) return undefined;
  const full = year < 70 ? 2000 + year : year < 100 ? 1900 + year : year;
  if (full < 1900 || full > 2200) return undefined;
  // Days from the civil calendar: years begin in March, so that the leap day is the last.
  const shifted = month <= 2 ? full - 1 : full;
  const era = Math.floor(shifted / 400);
  const yearOfEra = shifted - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  return (
    era * 146_097 +
    yearOfEra * 365 +
    Math.floor(yearOfEra / 4) -
    Math.floor(yearOfEra / 100) +
    dayOfYear -
    719_468
  );
}

function civilOf(days: number): { year: number; month: number; date: number } {
  const shifted = days + 719_468;
  const era = Math.floor(shifted / 146_097);
  const dayOfEra = shifted - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const monthShifted = Math.floor((5 * dayOfYear + 2) / 153);
  const month = monthShifted < 10 ? monthShifted + 3 : monthShifted - 9;
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    date: dayOfYear - Math.floor((153 * monthShifted + 2) / 5) + 1,
  };
}
