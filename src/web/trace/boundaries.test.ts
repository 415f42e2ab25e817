import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Override } from "../../series/mod.ts";
import type { Phase, PullReading } from "../../trace/mod.ts";
import { boundariesOf, correctionsOf, withBoundary } from "./boundaries.ts";

// Asserted against algebra: phases follow one another, each from where the one before it ends.

const phases: readonly Phase[] = [
  { name: "rest", fromRow: 1, toRow: 100 },
  { name: "set", fromRow: 100, toRow: 150 },
  { name: "hold", fromRow: 150, toRow: 400 },
  { name: "ramp", fromRow: 400, toRow: 900 },
];
const reading: PullReading = {
  index: 1,
  startRow: 100,
  endRow: 900,
  peakN: 1000,
  peakRow: 880,
  drops: [],
  end: "collapse",
  noiseN: 1,
  warnings: [],
  deep: { phases, strokes: 0, slips: [], hold: { fromRow: 150, toRow: 400, startN: 500, endN: 490 } },
};
const moved = (fromRow: number, toRow: number, phase: string, edge: "start" | "end" = "start"): Override => ({
  what: "boundary",
  phase,
  edge,
  fromRow,
  toRow,
  by: "",
  at: "2024-05-01T08:00:00Z",
  why: "",
});

describe("the boundaries of phases", () => {
  test("are one more than the phases, each between its neighbours", () => {
    const found = boundariesOf(phases, 1000);
    expect(found.map(({ row }) => row)).toEqual([1, 100, 150, 400, 900]);
    expect(found.map(({ name }) => name)).toEqual([
      "start of the rest",
      "start of the set",
      "start of the hold",
      "start of the ramp",
      "end of the ramp",
    ]);
    for (const { least, row, most } of found) {
      expect(least).toBeLessThanOrEqual(row);
      expect(row).toBeLessThanOrEqual(most);
    }
  });

  test("wherever one is moved to, phases stay in order, without a gap, and the others stay where they are", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 4 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (which, share) => {
          const boundary = boundariesOf(phases, 1000)[which];
          if (boundary === undefined) throw new Error("five boundaries");
          const row = Math.round(boundary.least + share * (boundary.most - boundary.least));
          const after = withBoundary(reading, boundary, row).deep?.phases ?? [];
          after.forEach((phase, at) => {
            expect(phase.fromRow).toBeLessThan(phase.toRow);
            if (at > 0) expect(phase.fromRow).toBe(after[at - 1]?.toRow);
          });
          const rows = boundariesOf(after, 1000).map((one) => one.row);
          expect(rows).toEqual([1, 100, 150, 400, 900].map((one, at) => (at === which ? row : one)));
        },
      ),
    );
  });

  test("the hold follows the boundaries of its phase", () => {
    const start = boundariesOf(phases, 1000)[2];
    if (start === undefined) throw new Error("five boundaries");
    expect(withBoundary(reading, start, 180).deep?.hold).toMatchObject({ fromRow: 180, toRow: 400 });
  });

  test("a boundary that was moved twice is put back by taking both back, the last first, and no other", () => {
    const overrides = [moved(140, 145, "hold"), moved(390, 400, "ramp"), moved(145, 150, "hold")];
    const [, , hold, ramp] = boundariesOf(phases, 1000);
    if (hold === undefined || ramp === undefined) throw new Error("five boundaries");
    expect(correctionsOf(hold, overrides)).toEqual([3, 1]);
    expect(correctionsOf(ramp, overrides)).toEqual([2]);
  });
});
