import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { DateOrder } from "../layout.ts";
import { asciiOf } from "./numbers.ts";
import { isoOf, namesZone, parseDateTime, parseTimeOfDay, type Stamp, secondsOf } from "./stamps.ts";

function read(text: string, order: DateOrder = "ymd"): number | undefined {
  const stamp: Stamp = { day: 0, second: 0 };
  const bytes = asciiOf(text);
  return parseDateTime(bytes, 0, bytes.length, order, stamp) ? secondsOf(stamp) : undefined;
}

// The language's own calendar is the outside truth: Date.UTC and Date.parse.
describe("parseDateTime", () => {
  test("agrees with the language's calendar on every day from 1970 to 2100", () => {
    for (let day = 0; day < 47_482; day += 1) {
      const text = new Date(day * 86_400_000).toISOString();
      expect(read(text)).toBe(day * 86_400);
    }
  });

  test("agrees with Date.parse on any millisecond, and isoOf writes it back", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4e12 }), (milliseconds) => {
        const text = new Date(milliseconds).toISOString();
        const seconds = read(text) as number;
        expect(seconds).toBeCloseTo(Date.parse(text) / 1000, 6);
        const day = Math.floor(seconds / 86_400);
        const back = isoOf({ day, second: seconds - day * 86_400 }, true);
        expect(Date.parse(back)).toBe(milliseconds);
      }),
    );
  });

  const nine = Date.UTC(2018, 10, 30, 9, 58, 27) / 1000;
  test.each<[string, DateOrder, number]>([
    ["2018-11-30-09:58:27.538", "ymd", nine + 0.538],
    ["2018-11-30 09:58:27,5", "ymd", nine + 0.5],
    ["2018/11/30 09:58:27", "ymd", nine],
    ["30.11.2018 09:58:27", "dmy", nine],
    ["30/11/2018 9:58:27 AM", "dmy", nine],
    ["11/30/2018 09:58:27 pm", "mdy", nine + 43_200],
    ["11/30/18 09:58:27", "mdy", nine],
    ["30-Nov-2018 09:58:27", "dmy", nine],
    ["2018-11-30T10:58:27+01:00", "ymd", nine],
    ["2018-11-30T04:28:27-0530", "ymd", nine],
    ["2018-11-30T09:58:27Z", "ymd", nine],
    ["2018-11-30", "ymd", nine - (9 * 3600 + 58 * 60 + 27)],
  ])("%s, %s", (text, order, seconds) => {
    expect(read(text, order)).toBeCloseTo(seconds, 6);
  });

  test.each([
    "2018-13-01 00:00:00",
    "30.11.2018 25:00:00",
    "2018-11-30 09:61:00",
    "2018-11-30T",
    "12.4",
    "2018-11",
    "2018-11-30 09:58:27 CET",
    "",
  ])("%j is no date", (text) => {
    expect(read(text)).toBeUndefined();
  });
});

test.each([
  ["09:58:27.538", 35_907.538],
  ["9:58", 35_880],
  ["12:00:01 AM", 1],
  ["12:00 pm", 43_200],
  ["23:59:59:250", 86_399.25],
  ["59:58.25", 3598.25],
  ["119:00,5", 7140.5],
])("the time of day %s is %d s after midnight", (text, seconds) => {
  const stamp: Stamp = { day: 0, second: 0 };
  const bytes = asciiOf(text);
  expect(parseTimeOfDay(bytes, 0, bytes.length, stamp)).toBe(true);
  expect(stamp.second).toBeCloseTo(seconds, 9);
});

test("a zone is named by Z or an offset behind the time, not by the hyphens of a date", () => {
  expect(["2018-11-30T09:58:27Z", "2018-11-30T09:58:27.5+01:00"].every(namesZone)).toBe(true);
  expect(["2018-11-30-09:58:27", "30-11-2018 09:58", "2018-11-30"].some(namesZone)).toBe(false);
});
