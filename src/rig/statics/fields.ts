import type { Problem } from "../../problem/mod.ts";

/** Sizes beyond these are slips of the pen, and their squares are no numbers any more. */
const largest = 1e12;

/** What is wrong with a quantity that must be above 0, if anything. */
export function problemsOfAbove(value: number, field: string, unit: string): Problem[] {
  return value > 0 && value <= largest ? [] : [wrong(value, field, `a number above 0, in ${unit}`)];
}

/** What is wrong with a quantity that may be 0 but not less, if anything. */
export function problemsOfFrom(value: number, field: string, unit: string): Problem[] {
  return value >= 0 && value <= largest ? [] : [wrong(value, field, `0 or more, in ${unit}`)];
}

function wrong(value: number, field: string, expected: string): Problem {
  return {
    code: "RIG_IMPOSSIBLE",
    message: "This cannot be in a rig.",
    where: { field },
    found: String(value),
    expected,
  };
}
