import fc from "fast-check";
import { expect, it } from "vitest";
import { createLongColumn } from "../kernel/column-memory.ts";
import { buildPyramid, extremesOf } from "./pyramid.ts";
import { traceWindow } from "./window.ts";

// Against the plain twin: every value between the two rows looked at.

const values = fc.tuple(fc.integer({ min: 0, max: 9000 }), fc.nat()).map(([count, seed]) =>
  Float64Array.from({ length: count }, (_, at) => {
    const drawn = Math.imul(at + 1, 2_654_435_761 + 2 * seed) >>> 8;
    return drawn % 11 === 0 ? Number.NaN : (drawn % 10_007) - 5000;
  }),
);

function plain(column: Float64Array, from: number, to: number): [number, number] {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of column.subarray(from, to)) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return [low, high];
}

it("gives the extremes between any two rows as looking at each value does", () => {
  fc.assert(
    fc.property(values, fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 20 }), (column, pairs) => {
      const pyramid = buildPyramid(column);
      for (const [one, other] of pairs) {
        const [from, to] = [one % (column.length + 1), other % (column.length + 1)].sort((a, b) => a - b);
        const found = extremesOf(column, pyramid, from as number, to as number);
        expect(found).toEqual(plain(column, from as number, to as number));
      }
    }),
    { numRuns: 100 },
  );
});

it("is the same of a column that lies in a kernel's memory, and of a part of it", () => {
  const long = createLongColumn(4_194_304) as Float64Array;
  for (let at = 0; at < long.length; at++) long[at] = at % 977 === 3 ? Number.NaN : (at * 7919) % 65_537;
  for (const part of [long.subarray(0, 4_190_007), long.subarray(33, 70_000), long.subarray(0, 4_190_007)]) {
    const [where, elsewhere] = [buildPyramid(part), buildPyramid(part.slice())];
    for (const side of ["lows", "highs"] as const)
      expect(where[side].map((level) => level.join())).toEqual(elsewhere[side].map((level) => level.join()));
  }
  expect(buildPyramid(long.subarray(0, 4_190_007)).lows[0]?.buffer).toBe(long.buffer);
});

it("draws a window the same with a pyramid as without", () => {
  fc.assert(
    fc.property(values, fc.integer({ min: 1, max: 60 }), fc.nat(), fc.nat(), (forceN, columns, a, b) => {
      const [fromRow, toRow] = [1 + (a % (forceN.length + 1)), 1 + (b % (forceN.length + 1))].sort(
        (x, y) => x - y,
      );
      const window = traceWindow(
        { forceN, missing: 0 },
        { columns, fromRow: fromRow as number, toRow: toRow as number },
      );
      const rows = window.toRow - window.fromRow + 1;
      window.lowN.forEach((low, span) => {
        const from = window.fromRow - 1 + Math.floor((span * rows) / window.lowN.length);
        const to = window.fromRow - 1 + Math.floor(((span + 1) * rows) / window.lowN.length);
        const [least, most] = plain(forceN, from, to);
        expect([low, window.highN[span]]).toEqual(least <= most ? [least, most] : [null, null]);
      });
    }),
    { numRuns: 100 },
  );
});
