import { describe, expect, test } from "vitest";
import type { TraceWindow } from "../../trace/mod.ts";
import {
  abscissaOf,
  aroundRows,
  curvePath,
  forceRange,
  isSharp,
  panned,
  pieceFor,
  rowAt,
  ticks,
  viewWords,
  within,
  zoomed,
} from "./view.ts";

// Asserted against algebra: what a view shows follows from its ends alone.

const rows = 10_000;

describe("a view of a trace", () => {
  test("stays within the recording", () => {
    expect(within({ from: -500, to: 500 }, rows)).toEqual({ from: 1, to: 1001 });
    expect(within({ from: 9_900, to: 10_900 }, rows)).toEqual({ from: 9_000, to: 10_000 });
    expect(within({ from: -1e9, to: 1e9 }, rows)).toEqual({ from: 1, to: 10_000 });
  });

  test("keeps the row under the hand where it is while it grows nearer or farther", () => {
    for (const around of [2_000, 3_333, 5_900]) {
      const before = { from: 2_000, to: 6_000 };
      const after = zoomed(before, rows, 0.5, around);
      const share = (view: { from: number; to: number }): number =>
        (around - view.from) / (view.to - view.from);
      expect(share(after)).toBeCloseTo(share(before), 12);
      expect(after.to - after.from).toBeCloseTo(2_000, 9);
    }
  });

  test("nearer and farther by the same factor comes back to where it was", () => {
    const before = { from: 4_000, to: 5_000 };
    const back = zoomed(zoomed(before, rows, 0.25, 4_400), rows, 4, 4_400);
    expect(back.from).toBeCloseTo(before.from, 9);
    expect(back.to).toBeCloseTo(before.to, 9);
  });

  test("never shows fewer rows than a picture needs, nor more than there are", () => {
    const near = zoomed({ from: 5_000, to: 5_050 }, rows, 1e-6, 5_020);
    expect(near.to - near.from).toBe(20);
    const far = zoomed({ from: 5_000, to: 5_050 }, rows, 1e6, 5_020);
    expect(far).toEqual({ from: 1, to: rows });
  });

  test("moves without changing its size, and stops at the ends", () => {
    expect(panned({ from: 100, to: 300 }, rows, 0.5)).toEqual({ from: 200, to: 400 });
    expect(panned({ from: 100, to: 300 }, rows, -5)).toEqual({ from: 1, to: 201 });
    expect(panned({ from: 9_700, to: 9_900 }, rows, 5)).toEqual({ from: 9_800, to: 10_000 });
  });

  test("of one pull holds all of it", () => {
    const view = aroundRows(400, 900, rows);
    expect(view.from).toBeLessThan(400);
    expect(view.to).toBeGreaterThan(900);
  });

  test("of a recording of three rows is all of it", () => {
    expect(within({ from: 2, to: 2.5 }, 3)).toEqual({ from: 1, to: 3 });
  });
});

describe("the piece that is fetched for a view", () => {
  /** A window of so many spans; what is in them does not matter here. */
  const piece = (fromRow: number, toRow: number, spans: number): TraceWindow => {
    const x = Array.from({ length: spans }, (_, at) => at);
    return { fromRow, toRow, x, lowN: x, highN: x, xIsTime: true };
  };

  test("is half a view longer on both sides, as fine, and ends where the recording does", () => {
    expect(pieceFor({ from: 4_001, to: 5_001 }, rows, 500)).toEqual({
      from: 3_501,
      to: 5_501,
      columns: 1_000,
    });
    expect(pieceFor({ from: 1, to: 1_001 }, rows, 500)).toEqual({ from: 1, to: 1_501, columns: 750 });
    expect(pieceFor({ from: 1, to: rows }, rows, 500)).toEqual({ from: 1, to: rows, columns: 500 });
  });

  test("is sharp for the view that it was fetched for, with room to move on, wherever that lies", () => {
    for (const [from, to] of [
      [1, rows],
      [1, 400],
      [9_970, 9_990],
      [3_000.4, 7_777.7],
    ] as const) {
      const { from: low, to: high, columns } = pieceFor({ from, to }, rows, 640);
      const fetched = piece(low, high, Math.min(columns, high - low + 1));
      expect(isSharp(fetched, { from, to }, rows, 640, 0.15)).toBe(true);
    }
  });

  test("is not sharp beside it, nor much nearer, save where every row has its span", () => {
    const fetched = piece(3_001, 7_000, 1_000);
    expect(isSharp(fetched, { from: 4_000, to: 6_000 }, rows, 500)).toBe(true);
    expect(isSharp(fetched, { from: 2_900, to: 4_900 }, rows, 500)).toBe(false);
    expect(isSharp(fetched, { from: 6_900, to: 7_100 }, rows, 10)).toBe(false);
    expect(isSharp(fetched, { from: 3_050, to: 5_050 }, rows, 500, 0.15)).toBe(false);
    expect(isSharp(fetched, { from: 4_000, to: 5_000 }, rows, 500)).toBe(false);
    expect(isSharp(piece(3_001, 7_000, 4_000), { from: 4_000, to: 4_100 }, rows, 500)).toBe(true);
  });
});

// 100 rows at 20 rows a second, in 4 spans of 25 rows: the spans begin at 0, 1.25, 2.5 and 3.75 s.
const window: TraceWindow = {
  fromRow: 1,
  toRow: 100,
  x: [0, 1.25, 2.5, 3.75],
  lowN: [0, 10, null, 5],
  highN: [2, 40, null, 6],
  xIsTime: true,
};

describe("rows and seconds", () => {
  test("turn into each other", () => {
    expect(abscissaOf(window, 26)).toBeCloseTo(1.25, 12);
    expect(abscissaOf(window, 36)).toBeCloseTo(1.75, 12);
    expect(rowAt(window, 1.25)).toBeCloseTo(26, 12);
    for (const row of [1, 17, 50, 99]) expect(rowAt(window, abscissaOf(window, row))).toBeCloseTo(row, 9);
  });
});

describe("what is in view, in words", () => {
  test("is told to a hundredth of it at most, in seconds or rows", () => {
    // Rows 26 to 76 of 100 at 20 a second begin at 1.25 and 3.75 s.
    expect(viewWords(window, { from: 26, to: 76 }, 100)).toBe("In view: 1.25 to 3.75 s.");
    expect(viewWords(window, { from: 26, to: 30 }, 100)).toBe("In view: 1.250 to 1.450 s.");
    expect(viewWords(window, { from: 1, to: 100 }, 100)).toBe("In view: all of it, 0.00 to 4.95 s.");
    const byRow = { ...window, x: [1, 26, 51, 76], xIsTime: false };
    expect(viewWords(byRow, { from: 26, to: 76 }, 100)).toBe("In view: rows 26 to 76.");
  });
});

describe("the curve", () => {
  test("is broken where samples are missing, and holds both extremes of every span", () => {
    const path = curvePath(
      window,
      (span) => span,
      (force) => force,
    );
    expect(path).toBe("M0.0 2.0L1.0 40.0L1.0 10.0L0.0 0.0ZM3.0 6.0L3.0 5.0Z");
  });

  test("spans the forces that are there", () => {
    expect(forceRange(window)).toEqual([0, 40]);
    expect(forceRange({ ...window, lowN: [null], highN: [null] })).toBeUndefined();
  });
});

describe("ticks", () => {
  test("are multiples of 1, 2 or 5 times a power of ten, within the axis", () => {
    expect(ticks(0, 46.4, 5)).toEqual([0, 10, 20, 30, 40]);
    expect(ticks(-0.03, 0.11, 4)).toEqual([0, 0.05, 0.1]);
    expect(ticks(5, 5, 4)).toEqual([]);
  });
});
