import fc from "fast-check";
import { expect, test } from "vitest";
import { type ColumnKernel, chunkSize, columnKernel } from "./column-kernel.ts";
import { compiledExtremes, extremesOfStretches, plainExtremes, stretchSize } from "./extremes.ts";
import { compiledSteps, plainSteps, stepRange } from "./steps.ts";

// The compiled passes beside their plain twins, on values of every kind and numbers of them that fill no chunk.

const kernel = columnKernel() as ColumnKernel; // Node has WebAssembly with SIMD

const columns = fc.tuple(fc.integer({ min: 0, max: 3 * chunkSize + 40 }), fc.integer()).map(([count, seed]) =>
  Float64Array.from({ length: count }, (_, at) => {
    const drawn = Math.imul(at + 1, 2_654_435_761 + 2 * seed) >>> 8;
    if (drawn % 13 === 0) return Number.NaN;
    if (drawn % 101 === 0) return drawn % 2 === 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
    return drawn % 7 === 0 ? -0 : ((drawn % 10_007) - 5000) / 8;
  }),
);

test("it compiles here", () => {
  expect(columnKernel()).toBeDefined();
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
      plainExtremes(values, plainLow, plainHigh);
      const done = compiledExtremes(kernel, values, low, high);
      expect(done).toBe((chunkSize / stretchSize) * Math.floor(values.length / chunkSize));
      plainExtremes(values, low, high, done);
      // As numbers: of nothing and its negative either may be the lower one.
      expect(low.every((value, at) => value === plainLow[at])).toBe(true);
      expect(high.every((value, at) => value === plainHigh[at])).toBe(true);
    }),
    { numRuns: 60 },
  );
});

test("the range of steps is that of the plain twin", () => {
  fc.assert(
    fc.property(columns, (values) => {
      expect(compiledSteps(kernel, values)).toEqual(plainSteps(values));
    }),
    { numRuns: 60 },
  );
  expect(plainSteps(Float64Array.of(1, 4, 2))).toEqual({ shortest: -2, longest: 3 });
});

test("a column long enough to be compiled for, told from its parts", () => {
  const values = Float64Array.from({ length: 100_003 }, (_, at) => (at * 7919) % 65_537);
  const room = Math.ceil(values.length / stretchSize);
  const [low, high] = [new Float64Array(room), new Float64Array(room)];
  extremesOfStretches(values, low, high);
  for (let at = 0; at < room; at++) {
    const part = values.subarray(16 * at, 16 * at + 16);
    expect([low[at], high[at]]).toEqual([Math.min(...part), Math.max(...part)]);
  }
  // Steps are 7919, or that less 65,537 where it goes round.
  expect(stepRange(values)).toEqual({ shortest: 7919 - 65_537, longest: 7919 });
});
