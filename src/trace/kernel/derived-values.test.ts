import fc from "fast-check";
import { expect, test } from "vitest";
import { medianInPlace, selectRank } from "../samples/select.ts";
import {
  areMultiples,
  blocksOf,
  clipTo,
  highestOf,
  keepAbove,
  sumOfProducts,
  toBends,
  toDistances,
  toSteps,
} from "./derived-values.ts";
import { laidOut, rankKernelOf, roomFor } from "./rank-kernel.ts";

// Values in the kernel's memory beside the same values in an array of their own, of which the plain twins make the same.

const columns = fc
  .tuple(fc.integer({ min: 1000, max: 9000 }), fc.integer(), fc.constantFrom(1, 8, 1e-3))
  .map(([count, seed, unit]) =>
    Float64Array.from({ length: count }, (_, at) => {
      const drawn = Math.imul(at + 1, 2_654_435_761 + 2 * seed) >>> 8;
      if (drawn % 101 === 0) return drawn % 2 === 0 ? Number.POSITIVE_INFINITY : -1e300;
      return drawn % 7 === 0 ? -0 : ((drawn % 1009) - 500) * unit;
    }),
  );

/** Each turn is done on both; what they give, and what they leave, is the same to the bit. */
function alike(values: Float64Array, turn: (values: Float64Array) => unknown): void {
  const [compiled, plain] = [laidOut(values), values.slice()];
  const [given, expected] = [turn(compiled), turn(plain)];
  expect(rankKernelOf(compiled)).toBeDefined();
  expect(rankKernelOf(plain)).toBeUndefined();
  expect(same(given, expected)).toBe(true);
  expect(same(compiled, plain)).toBe(true);
}

function same(one: unknown, other: unknown): boolean {
  if (!(one instanceof Float64Array && other instanceof Float64Array))
    return JSON.stringify(one) === JSON.stringify(other);
  return one.length === other.length && one.every((value, at) => Object.is(value, other[at]));
}

test("many values lie in the kernel's memory, a few and very many do not", () => {
  expect(rankKernelOf(roomFor(65_536))).toBeDefined();
  expect(rankKernelOf(roomFor(10))).toBeUndefined();
  expect(rankKernelOf(roomFor(100_000))).toBeUndefined();
  expect(roomFor(100_000).length).toBe(100_000);
});

test.each([
  ["steps", toSteps],
  ["bends", toBends],
  ["distances from a value", (values: Float64Array) => toDistances(values, 3.5)],
  ["those above a limit", (values: Float64Array) => keepAbove(values, 12)],
  ["clipped", (values: Float64Array) => clipTo(values, 40)],
  [
    "sums of products",
    (values: Float64Array) =>
      [0, 1, 8].map((lag) => sumOfProducts(clipTo(values, 1e3), values.length - 8, lag)),
  ],
  [
    "whether they are multiples",
    (values: Float64Array) => [0.5, 1, 3, 1e-3].map((unit) => areMultiples(toDistances(values), unit)),
  ],
  ["the highest", highestOf],
  ["a rank, as it leaves them", (values: Float64Array) => selectRank(values, values.length >> 3)],
  ["the median", medianInPlace],
] as const)("%s: the same as the plain twin", (_, turn) => {
  fc.assert(
    fc.property(columns, (values) => alike(values, turn)),
    { numRuns: 20 },
  );
});

test.each([5, 16, 43, 997])("blocks of %i: the same as the plain twin, and as each by itself", (size) => {
  fc.assert(
    fc.property(columns, (values) => {
      const some = values.map((value, at) => (at % 301 === 7 ? Number.NaN : value));
      const [compiled, plain] = [blocksOf(laidOut(some), size), blocksOf(some, size)];
      for (const column of ["lows", "highs", "sums", "turned"] as const) {
        expect(same(compiled[column], plain[column])).toBe(true);
        expect(compiled[column].length).toBe(Math.floor(values.length / size));
      }
    }),
    { numRuns: 20 },
  );
  const rising = Float64Array.from({ length: 3000 }, (_, at) => at);
  const { lows, highs, sums, turned } = blocksOf(laidOut(rising), size);
  // Of whole numbers in a row: n (first + last) / 2, and their sum of squares about the middle, n (n² − 1) / 12.
  expect([lows[1], highs[1]]).toEqual([size, 2 * size - 1]);
  expect(sums[1]).toBe((size * (3 * size - 1)) / 2);
  expect(turned[1]).toBeCloseTo((size * (size * size - 1)) / 12, 3);
});

test("more blocks than the kernel has room for are told all the same", () => {
  const values = Float64Array.from({ length: 60_000 }, (_, at) => (at * 7919) % 65_537);
  expect(same(blocksOf(laidOut(values), 2).highs, blocksOf(values, 2).highs)).toBe(true);
});

test("ranks are those of sorting, also of equal, rising and organ-pipe values", () => {
  const count = 60_000;
  for (const make of [() => 7, (at: number) => at, (at: number) => Math.min(at, count - at)]) {
    const values = Float64Array.from({ length: count }, (_, at) => make(at));
    for (const rank of [0, 1, 31_415, count - 1])
      expect(selectRank(laidOut(values), rank)).toBe(values.toSorted()[rank]);
  }
});

test("steps of 3 are multiples of 3, and steps in between are not", () => {
  const threes = Float64Array.from({ length: 1000 }, (_, at) => 3 * (1 + (at % 4)));
  expect([areMultiples(laidOut(threes), 3), areMultiples(threes, 3)]).toEqual([true, true]);
  expect([areMultiples(laidOut(threes), 2), areMultiples(threes, 2)]).toEqual([false, false]);
});
