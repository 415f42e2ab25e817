import fc from "fast-check";
import { expect, test } from "vitest";
import { type ChunkKernel, chunkKernel, chunkSize } from "./column-kernel.ts";
import { createLongColumn, kernelOf, roomBehind, widenLongColumn } from "./column-memory.ts";
import { copiedExtremes, extremesOfStretches, plainExtremes, stretchSize } from "./extremes.ts";
import { copiedSteps, plainSteps, stepRange } from "./steps.ts";

// The compiled passes beside their plain twins, on values of every kind and numbers of them that fill no chunk.

const kernel = chunkKernel() as ChunkKernel; // Node has WebAssembly with SIMD

/** As many values as a long column has at least; of them only the first are looked at. */
const long = createLongColumn(4_194_304) as Float64Array;

const columns = fc.tuple(fc.integer({ min: 0, max: 3 * chunkSize + 40 }), fc.integer()).map(([count, seed]) =>
  Float64Array.from({ length: count }, (_, at) => {
    const drawn = Math.imul(at + 1, 2_654_435_761 + 2 * seed) >>> 8;
    if (drawn % 13 === 0) return Number.NaN;
    if (drawn % 101 === 0) return drawn % 2 === 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
    return drawn % 7 === 0 ? -0 : ((drawn % 10_007) - 5000) / 8;
  }),
);

test("it compiles here", () => {
  expect(chunkKernel()).toBeDefined();
  expect(kernelOf(long)).toBeDefined();
});

test("extremes of stretches are those of the plain twin", () => {
  fc.assert(
    fc.property(columns, (values) => {
      const room = Math.ceil(values.length / stretchSize);
      const [low, high, plainLow, plainHigh] = Array.from({ length: 4 }, () => new Float64Array(room)) as [
        Float64Array,
        Float64Array,
        Float64Array,
        Float64Array,
      ];
      plainExtremes(values, values, plainLow, plainHigh);
      const done = copiedExtremes(kernel, values, low, high);
      expect(done).toBe((chunkSize / stretchSize) * Math.floor(values.length / chunkSize));
      plainExtremes(values, values, low, high, done);
      // As numbers: of nothing and its negative either may be the lower one.
      expect(low.every((value, at) => value === plainLow[at])).toBe(true);
      expect(high.every((value, at) => value === plainHigh[at])).toBe(true);
      // The same where they are laid out, which many values but not very many are.
      extremesOfStretches(values, values, low, high);
      expect(low.every((value, at) => value === plainLow[at])).toBe(true);
      expect(high.every((value, at) => value === plainHigh[at])).toBe(true);
      // The same where they lie in a kernel's memory, as one level and as the two sides of one.
      long.set(values);
      const part = long.subarray(0, values.length);
      const [ownLow, ownHigh] = [
        long.subarray(100_000, 100_000 + room),
        long.subarray(200_000, 200_000 + room),
      ];
      extremesOfStretches(part, part, ownLow, ownHigh);
      expect(ownLow.every((value, at) => value === plainLow[at])).toBe(true);
      expect(ownHigh.every((value, at) => value === plainHigh[at])).toBe(true);
      const [other, [lowOf, highOf]] = [long.subarray(7, 7 + values.length), [plainLow, plainHigh]];
      plainExtremes(part, other, lowOf, highOf);
      extremesOfStretches(part, other, ownLow, ownHigh);
      expect(ownLow.every((value, at) => value === lowOf[at])).toBe(true);
      expect(ownHigh.every((value, at) => value === highOf[at])).toBe(true);
    }),
    { numRuns: 60 },
  );
});

test("the range of steps is that of the plain twin", () => {
  fc.assert(
    fc.property(columns, (values) => {
      expect(copiedSteps(kernel, values)).toEqual(plainSteps(values));
      expect(stepRange(values)).toEqual(plainSteps(values));
      long.set(values, 5);
      expect(stepRange(long.subarray(5, 5 + values.length))).toEqual(plainSteps(values));
    }),
    { numRuns: 60 },
  );
  expect(plainSteps(Float64Array.of(1, 4, 2))).toEqual({ shortest: -2, longest: 3 });
});

test("a column long enough to be compiled for, told from its parts", () => {
  const values = Float64Array.from({ length: 100_003 }, (_, at) => (at * 7919) % 65_537);
  const room = Math.ceil(values.length / stretchSize);
  const [low, high] = [new Float64Array(room), new Float64Array(room)];
  extremesOfStretches(values, values, low, high);
  for (let at = 0; at < room; at++) {
    const part = values.subarray(16 * at, 16 * at + 16);
    expect([low[at], high[at]]).toEqual([Math.min(...part), Math.max(...part)]);
  }
  // Steps are 7919, or that less 65,537 where it goes round.
  expect(stepRange(values)).toEqual({ shortest: 7919 - 65_537, longest: 7919 });
});

test("a long column grows where it lies, and what was made of a part of it has one room", () => {
  expect(createLongColumn(4_194_303)).toBeUndefined();
  expect(widenLongColumn(new Float64Array(3), 8_000_000)).toBeUndefined();
  const column = createLongColumn(4_194_320) as Float64Array;
  column.fill(7);
  const wider = widenLongColumn(column, 5_000_000) as Float64Array;
  expect(column.length).toBe(0);
  expect(wider.length).toBe(5_000_000);
  expect(wider.subarray(0, 4_194_320).every((value) => value === 7)).toBe(true);
  expect(wider.subarray(4_194_320).every((value) => value === 0)).toBe(true);
  expect(kernelOf(wider, wider.subarray(3))).toBeDefined();
  expect(kernelOf(wider, long)).toBeUndefined();

  const part = wider.subarray(0, 4_900_000);
  const [one, two] = [part, wider.subarray(0, 4_900_000)].map((of) => roomBehind(of)(306_250)) as [
    Float64Array,
    Float64Array,
  ];
  expect(one.buffer === wider.buffer).toBe(true);
  expect(one.byteOffset).toBe(two.byteOffset);
  expect(one.byteOffset).toBeGreaterThanOrEqual(wider.byteOffset + wider.byteLength);
  expect(kernelOf(roomBehind(wider.subarray(5, 90))(6))).toBeUndefined();
});
