import fc from "fast-check";
import { expect, test } from "vitest";
import { medianInPlace, selectRank } from "./select.ts";

// The plain twin sorts.
const numbers = fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 300 });

test("the value at a rank is the one that sorting puts there", () => {
  fc.assert(
    fc.property(numbers, fc.nat(), (values, seed) => {
      const rank = seed % values.length;
      expect(selectRank(Float64Array.from(values), rank)).toBe(values.toSorted((a, b) => a - b)[rank]);
    }),
  );
});

test("the median is the middle of the sorted values, or the mean of the middle two", () => {
  fc.assert(
    fc.property(numbers, (values) => {
      const sorted = values.toSorted((a, b) => a - b);
      const half = values.length >> 1;
      const expected =
        values.length % 2 === 1
          ? (sorted[half] as number)
          : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2;
      expect(medianInPlace(Float64Array.from(values))).toBe(expected);
    }),
  );
});

test("there is no median of nothing", () => {
  expect(medianInPlace(new Float64Array(0))).toBeNaN();
});

test("equal, rising and organ-pipe values come out as sorting would have them", () => {
  const count = 2e5;
  for (const make of [() => 7, (at: number) => at, (at: number) => Math.min(at, count - at)]) {
    const values = Float64Array.from({ length: count }, (_, at) => make(at));
    const sorted = values.toSorted();
    expect(selectRank(values, 131_415)).toBe(sorted[131_415]);
  }
});
