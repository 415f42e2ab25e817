import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { asciiOf, isMissingWord, parseNumber, parseNumberText } from "./numbers.ts";

// The plain twin is the language's own conversion of decimal text.
const parsed = (text: string, decimal: "." | ",") =>
  parseNumber(asciiOf(text), 0, text.length, decimal.charCodeAt(0));

describe("parseNumber", () => {
  test("reads what Number reads, to the last bit", () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(parsed(String(value), ".")).toBe(Number(String(value)));
      }),
      { numRuns: 5000 },
    );
  });

  test("reads decimals of up to 15 digits without a string, to the last bit", () => {
    fc.assert(
      fc.property(fc.integer({ min: -1e9, max: 1e9 }), fc.integer({ min: 0, max: 9 }), (whole, decimals) => {
        const text = (whole / 10 ** decimals).toFixed(decimals);
        expect(parsed(text, ".")).toBe(Number(text));
        expect(parsed(text.replace(".", ","), ",")).toBe(Number(text));
      }),
      { numRuns: 5000 },
    );
  });

  test("reads decimals of 16 to 22 digits, to the last bit", () => {
    const digits = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 16, maxLength: 22 });
    fc.assert(
      fc.property(digits, fc.nat({ max: 22 }), (all, at) => {
        const place = Math.min(at, all.length);
        const text = `${all.slice(0, place).join("")}.${all.slice(place).join("")}`;
        expect(parsed(text, ".")).toBe(Number(text));
      }),
      { numRuns: 20_000 },
    );
  });

  test("rounds to even in the middle between two doubles", () => {
    // 2⁵³ + 1 and + 3 lie in the middle; the next digits decide.
    for (const text of [
      "9007199254740993",
      "9007199254740995",
      "9007199254740993.00001",
      "900719925474099.30",
      "0.9007199254740993",
    ])
      expect(parsed(text, ".")).toBe(Number(text));
  });

  test.each([
    ["12.4", 12.4],
    ["+.5", 0.5],
    ["5.", 5],
    ["-0", -0],
    ["1e3", 1000],
    ["6.79E-05", 6.79e-5],
    ["0.020000000000000462", 0.020000000000000462],
    ["00012.50", 12.5],
    ["123456789012345678901234567890", 1.2345678901234568e29],
  ])("%s is %d", (text, value) => {
    expect(parsed(text, ".")).toBe(value);
  });

  test.each([
    "",
    "-",
    ".",
    "1e",
    "1e+",
    "12,4",
    "1 234",
    "1.2.3",
    "12.4 kN",
    "0x10",
    "Infinity",
    "1_000",
    "12.4;13",
    "1e999",
  ])("%j is no number", (text) => {
    expect(parsed(text, ".")).toBeNaN();
  });

  test("text is read as its bytes are, whatever stands in it", () => {
    const part = fc.constantFrom(
      ..."0123456789..,,+-eExXbo_ iInNaf\u0661".split(""),
      "12",
      "0x1",
      "1e5",
      "Infinity",
      ".5",
    );
    fc.assert(
      fc.property(fc.array(part, { maxLength: 7 }), fc.constantFrom(".", ","), (parts, decimal) => {
        const text = parts.join("").trim();
        expect(parseNumberText(text, decimal)).toBe(parsed(text, decimal));
      }),
      { numRuns: 20_000 },
    );
  });

  test("blanks around a number in text are left out", () => {
    expect(parseNumberText("\t 1.5 ", ".")).toBe(1.5);
    expect(parseNumberText("1 5", ".")).toBeNaN();
  });

  test("a character outside ASCII is in no number", () => {
    expect(asciiOf("1\u0661")).toEqual(Uint8Array.of(49, 255));
    expect(parsed("1\u0661", ".")).toBeNaN();
  });

  test.each(["", "NA", "n/a", "NaN", "--", "null", " - "])("%j says that there is no value", (text) => {
    expect(isMissingWord(text)).toBe(true);
  });

  test.each(["0", "OL", "x", "none of it"])("%j does not", (text) => {
    expect(isMissingWord(text)).toBe(false);
  });
});
