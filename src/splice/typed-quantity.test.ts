import { expect, test } from "vitest";
import { readForceN, readLengthMm } from "./mod.ts";

test("lengths and forces are read as makers say them", () => {
  // An inch is 25.4 mm, a foot twelve of them, a pound-force 4.4482216152605 N, all by definition.
  for (const [typed, mm] of [
    ["1/4 in rope", 6.35],
    ["2 ft 3 in", 685.8],
    ["600 mm", 600],
    ["0.6 m", 600],
    [12.5, 12.5],
  ] as const) {
    const answer = readLengthMm(typed, "length");
    expect(answer.ok && answer.value, String(typed)).toBeCloseTo(mm, 9);
  }
  const force = readForceN("1100 lbf", "tension");
  expect(force.ok && force.value).toBeCloseTo(1100 * 4.4482216152605, 6);
});

test("what is no length is refused by its field, quoted as it was typed", () => {
  for (const typed of ["long", "5 kN", "rope"]) {
    const answer = readLengthMm(typed, "rope.diameter");
    expect(answer.ok ? [] : answer.problems.map(({ where }) => where?.field)).toContain("rope.diameter");
  }
});
