import fc from "fast-check";
import { expect, test } from "vitest";
import { at } from "./figure-parts.ts";
import { coordinate, fixedText } from "./short-numbers.ts";

const any = fc.oneof(
  fc.double(),
  fc.double({ min: -1000, max: 5000, noNaN: true }),
  // The middle between two figures, and the doubles beside it.
  fc.integer({ min: -2000, max: 200_000 }).map((twentieths) => twentieths / 20),
  fc.integer({ min: 0, max: 200_000 }).map((twentieths) => (twentieths / 20) * (1 - Number.EPSILON)),
);

// ECMA-262, Number.prototype.toFixed: the figure nearest to the double's own value, the greater of two as near.
test("a number is written as toFixed writes it", () => {
  fc.assert(
    fc.property(any, fc.constantFrom(0 as const, 1 as const), (value, decimals) => {
      expect(fixedText(value, decimals)).toBe(value.toFixed(decimals));
    }),
    { numRuns: 3000, seed: 7 },
  );
  // 1.45 is below its name, 8.5 and 2.5 lie in the very middle.
  expect([fixedText(1.45, 1), fixedText(2.5, 0), fixedText(8.5, 0)]).toEqual(["1.4", "3", "9"]);
});

test("a coordinate is written as the number that it is rounded to", () => {
  fc.assert(
    fc.property(any, (value) => {
      expect(coordinate(value)).toBe(String(at(value)));
    }),
    { numRuns: 3000, seed: 8 },
  );
  expect([
    coordinate(12),
    coordinate(12.3),
    coordinate(0.049),
    coordinate(-0.001),
    coordinate(-12.345678),
  ]).toEqual(["12", "12.3", "0.05", "0", "-12.35"]);
});
