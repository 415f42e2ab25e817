import fc from "fast-check";
import { expect, it } from "vitest";
import type { Trace } from "../reading.ts";
import { outlineFromBytes, outlineOf, outlineToBytes, outlineWindow } from "./outline.ts";

/** A long trace of chance, with gaps of some thousand missing values. */
function traceOf(rows: number, seed: number, hasTime: boolean): Trace {
  const forceN = new Float64Array(rows);
  let state = seed;
  for (let row = 0; row < rows; row++) {
    state = (state * 48_271) % 2_147_483_647;
    forceN[row] =
      row % 50_000 < 3000 ? Number.NaN : (state % 9973) - 100 + (row % 4096 === 77 ? state % 60_000 : 0);
  }
  return {
    forceN,
    missing: 0,
    ...(hasTime ? { timeS: Float64Array.from(forceN, (_, row) => row / 1000) } : {}),
  };
}

const rows = 300_007;

it("gives windows that hold the lowest and highest of all their samples, whatever is asked", () => {
  const trace = traceOf(rows, 1, false);
  const outline = outlineOf(trace);
  if (outline === undefined) throw new Error("no outline");
  let answered = 0;
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: rows }),
      fc.integer({ min: 1, max: rows }),
      fc.integer({ min: 1, max: 700 }),
      (a, b, columns) => {
        const [fromRow, toRow] = [Math.min(a, b), Math.max(a, b)];
        const window = outlineWindow(outline, { fromRow, toRow, columns });
        // Less than two stretches in a span: samples are to be read.
        if (window === undefined) {
          expect((toRow - fromRow) / columns).toBeLessThan(512);
          return;
        }
        answered++;
        expect(window.x).toHaveLength(columns);
        expect(fromRow - window.fromRow).toBeGreaterThanOrEqual(0);
        expect(fromRow - window.fromRow).toBeLessThan(256);
        expect(window.toRow - toRow).toBeGreaterThanOrEqual(0);
        expect(window.toRow - toRow).toBeLessThan(256);
        expect(window.x[0]).toBe(window.fromRow);
        // The plain twin: each span from where it starts to where the next does, sample by sample.
        for (let span = 0; span < columns; span++) {
          const end = window.x[span + 1] ?? window.toRow + 1;
          let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
          for (let row = (window.x[span] ?? 0) - 1; row < end - 1; row++) {
            if ((trace.forceN[row] ?? 0) < low) low = trace.forceN[row] ?? 0;
            if ((trace.forceN[row] ?? 0) > high) high = trace.forceN[row] ?? 0;
          }
          if (
            window.lowN[span] !== (low <= high ? low : null) ||
            window.highN[span] !== (low <= high ? high : null)
          )
            throw new Error(`span ${span} of ${JSON.stringify({ fromRow, toRow, columns })}`);
        }
      },
    ),
    { seed: 3, numRuns: 60 },
  );
  expect(answered).toBeGreaterThan(20);
});

it("says times where there are some, and comes back from its bytes", () => {
  for (const hasTime of [true, false]) {
    const trace = traceOf(rows, 2, hasTime);
    const outline = outlineOf(trace);
    if (outline === undefined) throw new Error("no outline");
    const bytes = outlineToBytes(outline);
    expect(outlineFromBytes(bytes)).toEqual(outline);
    for (const wrong of [bytes.subarray(0, 10), bytes.subarray(1), bytes.subarray(0, -8), new Uint8Array(40)])
      expect(outlineFromBytes(wrong)).toBeUndefined();
    const window = outlineWindow(outline, { columns: 500 });
    expect(window).toMatchObject({ fromRow: 1, toRow: rows, xIsTime: hasTime });
    // 1,172 stretches of 256 rows in 500 spans: the second begins with stretch 2, the last with 1,169.
    expect([window?.x[1], window?.x[499]]).toEqual(hasTime ? [0.512, 299.264] : [513, 299_265]);
  }
});

it("is none of a trace that is opened quickly as it is", () => {
  expect(outlineOf(traceOf(100_000, 1, false))).toBeUndefined();
});
