import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { laneWidth, standApart } from "./stand-apart.ts";

type Mark = { readonly middle: number; readonly reach: number };

/** Dots and triangles reach 4.7 from their middle, arrows 8. Heights on a grid, so that many are alike and none is a rounding from touching. */
const column = fc.array(
  fc.record({
    middle: fc.integer({ min: 0, max: 400 }).map((quarters) => quarters / 4),
    reach: fc.constantFrom(4.7, 8),
  }),
  { maxLength: 60 },
);

function apart(marks: readonly Mark[], half: number): number[] {
  const { middles, reaches } = {
    middles: Float64Array.from(marks, ({ middle }) => middle),
    reaches: Float64Array.from(marks, ({ reach }) => reach),
  };
  return [...standApart(middles, reaches, half)];
}

/** The plain twin: each mark is held against all that stand already. */
function heldAgainstAll(marks: readonly Mark[], half: number): number[] {
  const shifts = marks.map(() => 0);
  const placed: (Mark & { x: number })[] = [];
  const order = [...marks.entries()].sort(([i, a], [j, b]) => a.middle - b.middle || i - j);
  for (const [index, mark] of order) {
    const lies = (x: number) =>
      placed.some((one) => Math.hypot(one.x - x, one.middle - mark.middle) < one.reach + mark.reach - 1e-9);
    const tried = [0];
    for (let lane = 1; lane * laneWidth <= half; lane++) tried.push(lane * laneWidth, -lane * laneWidth);
    const x = tried.find((one) => !lies(one)) ?? 0;
    placed.push({ ...mark, x });
    shifts[index] = x;
  }
  return shifts;
}

describe("marks of a column", () => {
  test("stand where holding each against all others puts them", () => {
    fc.assert(
      fc.property(column, fc.integer({ min: 0, max: 40 }), (marks, half) => {
        for (const [index, x] of heldAgainstAll(marks, half).entries())
          expect(apart(marks, half)[index]).toBeCloseTo(x, 9);
      }),
      { numRuns: 300, seed: 5 },
    );
  });

  test("do not lie on each other where there is room", () => {
    fc.assert(
      fc.property(column, (marks) => {
        const shifts = apart(marks, 1000);
        for (const [i, a] of marks.entries())
          for (const [j, b] of marks.entries())
            if (i < j)
              expect(
                Math.hypot((shifts[i] ?? 0) - (shifts[j] ?? 0), a.middle - b.middle),
              ).toBeGreaterThanOrEqual(a.reach + b.reach - 1e-9);
      }),
      { numRuns: 60, seed: 6 },
    );
  });

  test("that are alone stay in the middle, and those that find no room as well", () => {
    expect(apart([{ middle: 5, reach: 4.7 }], 26)).toEqual([0]);
    const alike = Array.from({ length: 5 }, () => ({ middle: 5, reach: 4.7 }));
    expect(apart(alike, 0)).toEqual([0, 0, 0, 0, 0]);
    // Two lanes to the right and two to the left hold one mark each beside the first; the last two find no room.
    const seven = apart([...alike, ...alike.slice(3)], 4 * laneWidth);
    expect(seven.map((x) => Math.round(x / laneWidth))).toEqual([0, 2, -2, 4, -4, 0, 0]);
  });
});
