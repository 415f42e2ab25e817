import fc from "fast-check";
import { expect, test } from "vitest";
import { traceWindow } from "./window.ts";

test("the spans hold the lowest and highest of all their samples, and every sample is in one", () => {
  const forces = fc.array(fc.oneof(fc.integer({ min: -99, max: 99 }), fc.constant(Number.NaN)), {
    minLength: 1,
    maxLength: 200,
  });
  fc.assert(
    fc.property(forces, fc.nat(), fc.nat(), fc.integer({ min: 1, max: 60 }), (values, a, b, columns) => {
      const [fromRow = 1, toRow = 1] = [1 + (a % values.length), 1 + (b % values.length)].sort(
        (x, y) => x - y,
      );
      const window = traceWindow(
        { forceN: Float64Array.from(values), missing: 0 },
        { fromRow, toRow, columns },
      );
      const looked = values.slice(fromRow - 1, toRow);
      const present = looked.filter((value) => !Number.isNaN(value));
      const lows = window.lowN.filter((value) => value !== null);
      const highs = window.highN.filter((value) => value !== null);
      expect(window.x.length).toBe(Math.min(columns, looked.length));
      expect(window.x).toEqual(window.x.toSorted((x, y) => x - y));
      expect(Math.min(...lows)).toBe(Math.min(...present));
      expect(Math.max(...highs)).toBe(Math.max(...present));
      // The plain twin: which span a row is in, by where the spans start.
      window.x.forEach((start, span) => {
        const inside = values
          .slice(start - 1, (window.x[span + 1] ?? toRow + 1) - 1)
          .filter((value) => !Number.isNaN(value));
        expect(window.lowN[span]).toBe(inside.length === 0 ? null : Math.min(...inside));
        expect(window.highN[span]).toBe(inside.length === 0 ? null : Math.max(...inside));
      });
    }),
  );
});

test("the abscissa is time where there is time", () => {
  const trace = { forceN: Float64Array.of(1, 5, 2, 3), timeS: Float64Array.of(0, 0.5, 1, 1.5), missing: 0 };
  expect(traceWindow(trace, { fromRow: 1, toRow: 4, columns: 2 })).toEqual({
    fromRow: 1,
    toRow: 4,
    x: [0, 1],
    lowN: [1, 2],
    highN: [5, 3],
    xIsTime: true,
  });
});

test("an empty trace has no spans", () => {
  expect(traceWindow({ forceN: new Float64Array(0), missing: 0 }, { columns: 10 }).x).toEqual([]);
});
